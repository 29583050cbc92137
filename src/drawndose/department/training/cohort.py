"""Classes and their learners: enrolled, renamed after a question, linked to whom they sign in as, left and back."""

from __future__ import annotations

from django.db import IntegrityError, transaction

from drawndose.department.ledger.append import now
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.training.change import begun, change, no, told
from drawndose.department.training.models import Cohort, Learner
from drawndose.department.training.sealed import new_salt, seal
from drawndose.quantities import gather


def open_cohort(name: str, *, by: Person, key: str | None = None) -> Cohort:
    """A new class. Refused where one of this name is there."""
    called = told(name, "class", "a name, such as Autumn 2026", 80)
    if Cohort.objects.filter(name=called).exists():
        raise no("class", "there is a class of this name", called, "another name")
    with transaction.atomic():
        return begun(Cohort(name=called, at=now()), "cohort", "cohort.opened", by=by, key=key, content={})


def close_cohort(cohort: Cohort, *, by: Person, version: int, key: str | None = None) -> None:
    """The class is over; its records stay."""
    with transaction.atomic():
        change(cohort, "cohort", "cohort.closed", by=by, version=version, key=key)


def enrol(
    cohort: Cohort, number: str, name: str, *, by: Person, person: Person | None = None, key: str | None = None
) -> Learner:
    """Add a learner to an open class. Refused for a number that is there, under whatever name, and for a person who may not learn."""
    number, name = (
        told(number, "number", "the programme's own number", 30),
        told(name, "name", "the learner's name", 120),
    )
    if cohort.state != "open":
        raise no("class", f"the class is {cohort.state}", cohort.name, "an open class")
    _may_learn(person)
    there = Learner.objects.filter(cohort=cohort, number=number).first()
    if there is not None:
        raise no("number", "a learner of this class has this number", f"{number}, {there.name}", "another number")
    salt = new_salt()
    row = Learner(cohort=cohort, number=number, name=name, person=person, salt=salt)
    content = {"cohort": str(cohort.pk), "seal": seal(salt, f"{number}\n{name}"), "linked": person is not None}
    try:
        with transaction.atomic():
            return begun(row, "learner", "learner.enrolled", by=by, key=key, content=content)
    except IntegrityError as error:
        raise no("person", "this person stands in the class already", name, "one entry for each person") from error


def _may_learn(person: Person | None) -> None:
    if person is not None and not person.may(Right.LEARN):
        raise no(
            "person", f"to {Right.LEARN.value} is not this person's", person.username, "a person with the role learner"
        )


def rename(learner: Learner, name: str, *, by: Person, version: int, reason: str, key: str | None = None) -> None:
    """Another name for the same person, because somebody said that it is the same person. Refused without that reason."""
    new, why = (
        told(name, "name", "the learner's name", 120),
        told(reason, "reason", "how you know that it is the same person"),
    )
    content = {"seal": seal(learner.salt, f"{learner.number}\n{new}"), "why": seal(learner.salt, why)}
    with transaction.atomic():
        change(learner, "learner", "learner.renamed", by=by, version=version, key=key, content=content, name=new)


def link(learner: Learner, person: Person, *, by: Person, version: int, key: str | None = None) -> None:
    """Whom a learner signs in as, so that they see their own record. Refused where they have it already, or may not learn."""
    faults = []
    if learner.person_id is not None:
        faults += no("person", "this learner is linked already", learner.name, "one person for each learner").faults
    if Learner.objects.filter(cohort=learner.cohort, person=person).exists():
        faults += no("person", "another learner of the class is this person", person.username, "another person").faults
    gather(faults)
    _may_learn(person)
    with transaction.atomic():
        change(learner, "learner", "learner.linked", by=by, version=version, key=key, person=person)


def leave(learner: Learner, *, by: Person, version: int, key: str | None = None) -> None:
    """The learner has left; the record stays."""
    with transaction.atomic():
        change(learner, "learner", "learner.left", by=by, version=version, key=key)


def back(learner: Learner, *, by: Person, version: int, key: str | None = None) -> None:
    """The learner is back."""
    with transaction.atomic():
        change(learner, "learner", "learner.back", by=by, version=version, key=key)


def ident(learner: Learner) -> str:
    """How the lab's own storey calls a learner: the name that they sign in with, so that nobody evaluates themselves, or a number."""
    return learner.person.username if learner.person is not None else f"learner {learner.pk}"
