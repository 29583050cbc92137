"""A department may ask for a valid sign-off before a preparation: whether, and how hard, is a setting; off until it is chosen."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from drawndose.bench.plans import Plan
from drawndose.department.people.models import Person
from drawndose.department.training.forms import form_of
from drawndose.department.training.models import FormVersion
from drawndose.department.training.signoffs import why_not
from drawndose.department.work.known_settings import ASKS
from drawndose.department.work.policy import house
from drawndose.quantities import Fault
from drawndose.reference import Container

NO, CAUTION, STOP = ASKS


def kinds_of(plan: Plan) -> tuple[Container, ...]:
    """The kinds of container that a plan takes its drugs from."""
    return tuple(dict.fromkeys(take.in_hand.presentation.container for take in plan.takes))


def missing(person: Person, kinds: Iterable[Container], today: date) -> tuple[str, ...]:
    """Why the department asks who prepares here, in sentences; none where it does not ask, or the person is signed off.

    Asked for are the skill of each kind of container, and those for any kind, such as when to stop. A kind that the programme has
    no form of is not asked about: nobody could be signed off for it.
    """
    if house("sign_off_asked") == NO:
        return ()
    wanted = set(kinds)
    forms = [(one.skill, form_of(one)) for one in FormVersion.objects.filter(state="in use").order_by("skill")]
    if not any(form.container in wanted for _, form in forms):
        return ()
    found = []
    for skill, form in forms:
        why = why_not(person, skill, today) if form.container in wanted or form.container is None else None
        if why is not None:
            told = f" {why[0].upper()}{why[1:]}." if why else ""
            found.append(f"{person.name} is not signed off today for: {form.title}.{told}")
    return tuple(found)


def faults(person: Person, kinds: Iterable[Container], today: date) -> list[Fault]:
    """What stops the preparation: nothing where the setting only cautions."""
    if house("sign_off_asked") != STOP:
        return []
    accepted = "someone who is signed off, or an evaluator first"
    return [
        Fault(field="sign-off", rule=one.rstrip("."), came=person.name, accepted=accepted)
        for one in missing(person, kinds, today)
    ]
