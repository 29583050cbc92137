"""Who belongs to the department and what they may do: added, let go and taken back, roles given and taken, each with its reason.

At least one administrator stays, whoever does what at the same time: the ledger's head is held while it is looked at.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from django.contrib.auth.hashers import make_password
from django.db import transaction

from drawndose.department.ledger import append as ledger
from drawndose.department.ledger.models import Event
from drawndose.department.people import tries
from drawndose.department.people.models import Person, RoleHeld
from drawndose.department.people.roles import Right, Role
from drawndose.department.people.secrets import password_faults
from drawndose.department.people.signing import USERNAME, plain, record, typed
from drawndose.quantities import Fault, Refused, gather

FIRST = "first start"
"""The actor of the first administrator's adding: nobody is there yet."""


def add(
    username: str, name: str, roles: set[Role], password: str, *, by: Person, reason: str, key: str | None = None
) -> Person:
    """Add a person with a first password, which they change at their first sign-in. Refused with every fault."""
    gather(_of_a_new_one(username, name, password) + _roles(roles) + _reason(reason))
    with transaction.atomic():
        made = _made(username, name, password, must_change=True)
        record("person.added", made, words_of(made, roles), by=by, reason=reason, key=key)
        _hold(made, roles)
        _still(by)
    return made


def first_administrator(username: str, name: str, password: str) -> Person:
    """The first person of a storage, an administrator with a password of their own choice. Refused when anyone is there."""
    gather(_of_a_new_one(username, name, password))
    with transaction.atomic():
        made = _made(username, name, password, must_change=False)
        roles = {Role.ADMINISTRATOR}
        ledger.append("person.added", "person", str(made.pk), actor=FIRST, content=words_of(made, roles))
        if Person.objects.exclude(pk=made.pk).exists():
            rule = "there are persons already"
            raise Refused(
                [Fault(field="administrator", rule=rule, came=username, accepted="an administrator adds more")]
            )
        _hold(made, roles)
    return made


def give(person: Person, role: Role, *, by: Person, reason: str, key: str | None = None) -> None:
    """Give a role. Refused when it is held, or the person is not active, or without a reason."""
    gather(_reason(reason))
    with transaction.atomic():
        record("person.role_given", person, {"role": role.value}, by=by, reason=reason, key=key)
        _must(Person.objects.filter(pk=person.pk, is_active=True).exists(), "role", "they are not active", person.name)
        _must(not person.roleheld_set.filter(role=role.value).exists(), "role", "they have it already", role.value)
        _hold(person, {role})
        _still(by)


def take(person: Person, role: Role, *, by: Person, reason: str, key: str | None = None) -> None:
    """Take a role away. Refused when it is not held; nobody takes their own administrator's; one administrator stays."""
    gather(_reason(reason))
    own = person.pk == by.pk and role is Role.ADMINISTRATOR
    _must(not own, "role", "nobody takes this role from themselves", role.value, "another administrator does")
    with transaction.atomic():
        record("person.role_taken", person, {"role": role.value}, by=by, reason=reason, key=key)
        gone, _ = person.roleheld_set.filter(role=role.value).delete()
        _must(bool(gone), "role", "they do not have it", role.value)
        _one_stays(person)
        _still(by)


def deactivate(person: Person, *, by: Person, reason: str, key: str | None = None) -> None:
    """Let someone go: every session of theirs ends now, and their events stay. Roles are kept, for when they come back."""
    gather(_reason(reason))
    own = person.pk == by.pk
    _must(not own, "person", "nobody deactivates themselves", person.name, "another administrator does")
    with transaction.atomic():
        record("person.deactivated", person, {}, by=by, reason=reason, key=key)
        changed = Person.objects.filter(pk=person.pk, is_active=True).update(is_active=False)
        _must(bool(changed), "person", "they are not active already", person.name)
        _one_stays(person)
        _still(by)


def activate(person: Person, *, by: Person, reason: str, key: str | None = None) -> None:
    """Take someone back, with the roles that they had."""
    gather(_reason(reason))
    with transaction.atomic():
        record("person.activated", person, {}, by=by, reason=reason, key=key)
        changed = Person.objects.filter(pk=person.pk, is_active=False).update(is_active=True)
        _must(bool(changed), "person", "they are active already", person.name)
        _still(by)


def set_password(person: Person, password: str, *, by: Person, reason: str, key: str | None = None) -> None:
    """Set a first password anew for someone who forgot theirs: their sessions end, the PIN goes, a lock of the name is lifted."""
    field = "first password"
    gather(password_faults(password, username=person.username, name=person.name, field=field) + _reason(reason))
    _must(person.pk != by.pk, field, "it is your own", person.name, "change it on your own page")
    with transaction.atomic():
        record("person.password_set", person, {}, by=by, reason=reason, key=key)
        Person.objects.filter(pk=person.pk).update(password=make_password(plain(password)), must_change=True, pin="")
        tries.forgive(tries.Counted("person", str(person.pk), 1))
        _still(by)


def only_learner(person: Person) -> bool:
    """True for who never had another role, as the ledger tells: such a person's name stands in no event."""
    ever = {held.role for held in person.roleheld_set.all()}
    of_roles = Event.objects.filter(
        subject_kind="person", subject=str(person.pk), name__in=["person.added", "person.role_given"]
    )
    for content in of_roles.values_list("content", flat=True):
        ever |= set(content.get("roles", [])) | {content[one] for one in ("role",) if one in content}
    return ever == {Role.LEARNER.value}


def forget(person: Person, *, by: Person) -> None:
    """Take the name and the secrets of someone who was only ever a learner; they sign in no more. In a transaction.

    The name to sign in with stays, as the actor of what they did themselves. ValueError for anyone who had another role.
    """
    if not only_learner(person):
        raise ValueError(f"{person.username} was not only a learner")
    record("person.erased", person, {}, by=by)
    Person.objects.filter(pk=person.pk).update(
        name=f"erased {person.pk}", password=make_password(None), pin="", is_active=False
    )


def _made(username: str, name: str, password: str, *, must_change: bool) -> Person:
    values: dict[str, Any] = {"username": typed(username), "name": " ".join(name.split())}
    secret = make_password(plain(password))
    return Person.objects.create(**values, password=secret, must_change=must_change, added_at=ledger.now())


def _hold(person: Person, roles: set[Role]) -> None:
    RoleHeld.objects.bulk_create([RoleHeld(person=person, role=role.value) for role in roles])


def words_of(person: Person, roles: Collection[Role]) -> dict[str, Any]:
    """What the event of adding says. A learner's name stands in their row alone, so that it can be erased; staff sign by theirs."""
    name = {} if set(roles) == {Role.LEARNER} else {"name": person.name}
    return {"username": person.username, **name, "roles": sorted(role.value for role in roles)}


def _of_a_new_one(username: str, name: str, password: str) -> list[Fault]:
    found = []
    meant, called = typed(username), " ".join(name.split())
    if not USERNAME.fullmatch(meant):
        rule, accepted = "letters a to z, digits, dot and hyphen, up to 60", "ana.sample"
        found.append(Fault(field="name to sign in with", rule=rule, came=username, accepted=accepted))
    elif Person.objects.filter(username=meant).exists():
        rule = "someone has this name, or had it"
        found.append(Fault(field="name to sign in with", rule=rule, came=meant, accepted="another one"))
    if not 0 < len(called) <= 120:
        rule = "a name has 1 to 120 characters"
        found.append(Fault(field="name", rule=rule, came=called, accepted="as it stands on a label"))
    return found + password_faults(password, username=meant, name=called, field="first password")


def _roles(roles: set[Role]) -> list[Fault]:
    if roles:
        return []
    accepted = ", ".join(role.value for role in Role)
    return [Fault(field="roles", rule="at least one role", came="none", accepted=accepted)]


def _reason(reason: str) -> list[Fault]:
    if reason.strip():
        return []
    return [Fault(field="reason", rule="a reason is needed", came="nothing", accepted="who decided it, and why")]


def _must(holds: bool, field: str, rule: str, came: str, accepted: str = "open the page again, and look") -> None:
    if not holds:
        raise Refused([Fault(field=field, rule=rule, came=came, accepted=accepted)])


def _one_stays(person: Person) -> None:
    """Refused, and the transaction undone, when no active administrator is left."""
    left = RoleHeld.objects.filter(role=Role.ADMINISTRATOR.value, person__is_active=True).exists()
    _must(left, "administrator", "one administrator stays", person.name, "make someone else one first")


def _still(by: Person) -> None:
    """Refused when whoever does it lost the right to in between. The head is held, so this is the last word."""
    may = Person.objects.get(pk=by.pk).may(Right.KEEP_PEOPLE)
    _must(may, "administrator", "you are no administrator any more", by.name, "another administrator does it")
