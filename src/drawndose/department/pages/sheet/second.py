"""The second reading: another person works from the order and reads the instrument, without seeing the first answer; then both are compared.

They sign in themselves and find the sheet on the board, or sign for this one act on the first one's device.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from drawndose.bench.draws import ml
from drawndose.bench.plans import Plan
from drawndose.bench.steps import strength_words
from drawndose.department.ledger.models import Event
from drawndose.department.pages.acting import Outcome
from drawndose.department.pages.second import second_part, with_second_person
from drawndose.department.pages.sheet.draw import with_unit
from drawndose.department.pages.sheet.frame import (
    Stop,
    acted,
    address,
    draft_name,
    go,
    held,
    on_sheet,
    place_of,
    shown,
    stop_of,
)
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.work import preparing
from drawndose.department.work.models import Preparation
from drawndose.department.work.places import local
from drawndose.department.work.planning import plan_of
from drawndose.quantities import Fault, Refused

READABLE = {"drawn", "labelled"}


@require_http_methods(["GET", "HEAD", "POST"])
@on_sheet(Right.READ_SECOND, Right.PREPARE)
def second(request: HttpRequest, made: Preparation) -> HttpResponse:
    """The second reading's place. POST: the second person's own readings."""
    if request.method != "POST":
        return _page(request, made)
    outcome = acted(request, made, lambda form: _read(request, made, form.fields, form.version, form.key))
    if not outcome.done:
        made.refresh_from_db()
        return _page(request, made, outcome)
    made.refresh_from_db()
    alone = _reads_alone(request, made)
    to = address(made, "second") if alone or made.read_by_id is None else address(made, place_of(made))
    return go(request, to, outcome, draft_name(made, "second"))


def _reads_alone(request: HttpRequest, made: Preparation) -> bool:
    """True for a second reader who is signed in: another person than the first, with the right."""
    return bool(request.user.pk != made.by_id and request.user.may(Right.READ_SECOND))


def _read(request: HttpRequest, made: Preparation, fields: dict[str, str], version: int, key: str) -> Any:
    plan = plan_of(made)
    _open(made, plan)
    count = len(_boxes(plan))
    typed = [with_unit(fields.get(f"second-{place}", ""), "mL") for place in range(1, count + 1)]
    empty = [
        Fault(field=f"reading {at}", rule="a volume is wanted", came="nothing", accepted="0.5 mL")
        for at, one in enumerate(typed, start=1)
        if not one
    ]
    if empty:
        raise Refused(empty)
    reader: Person = request.user if _reads_alone(request, made) else with_second_person(request, Right.READ_SECOND)
    return preparing.read_again(made, typed, by=reader, version=version, key=key)


def _open(made: Preparation, plan: Plan) -> None:
    """Refused where nothing waits for a second reader."""
    if made.state not in READABLE:
        rule = f"nothing waits for a second reader: it is {made.state}"
        raise Refused([Fault(field="second reading", rule=rule, came="a reading", accepted="a sheet that was drawn")])
    if made.read_by_id is not None:
        rule = f"{made.read_by.name} has read it" if made.read_by is not None else "it was read"
        raise Refused([Fault(field="second reading", rule=rule, came="a reading", accepted="one second reading")])


def _boxes(plan: Plan) -> tuple[tuple[str, str], ...]:
    """A box for each volume that is read: the container and the instrument, never the number."""
    measured = [take for take in plan.takes if take.draw is not None]
    return tuple(
        (f"second-{place}", f"{take.in_hand.name}, on the {take.draw.instrument.name}")
        for place, take in enumerate(measured, start=1)
        if take.draw is not None
    )


def _page(request: HttpRequest, made: Preparation, outcome: Outcome | None = None) -> HttpResponse:
    plan = plan_of(made) if made.chosen else None
    alone = _reads_alone(request, made)
    waits = plan is not None and made.state in READABLE and made.read_by_id is None and bool(_boxes(plan))
    tries = _tries(made)
    context = {
        "waits": waits,
        "alone": alone,
        "first": request.user.pk == made.by_id,
        "second": None if alone else second_part(request, Right.READ_SECOND),
        "boxes": _boxes(plan) if plan is not None else (),
        "containers": _containers(plan) if plan is not None else (),
        "why": plan.second_reader if plan is not None else (),
        "stops": _differ(made, plan, outcome) if plan is not None else (),
        "tries": tries,
        "compared": _compared(made, plan) if plan is not None and made.read_by_id is not None else (),
    }
    shown_outcome = Outcome(done=False, faults=outcome.faults, moved=outcome.moved) if outcome is not None else None
    return shown(request, made, "second", context, outcome=shown_outcome, plan=plan)


def _containers(plan: Plan) -> tuple[tuple[str, str], ...]:
    """What stands in the hand, as its label prints it."""
    return tuple(
        (take.in_hand.name, " with ".join(strength_words(active) for active in take.in_hand.presentation.actives))
        for take in plan.takes
    )


def _differ(made: Preparation, plan: Plan, outcome: Outcome | None) -> tuple[Stop, ...]:
    """What holds it back; after a reading that differs, both numbers: neither is right until the cause is known."""
    del plan
    return (*held(made), *(stop_of(one) for one in (outcome.findings if outcome is not None else ())))


def _tries(made: Preparation) -> tuple[str, ...]:
    """Every second reading so far, in words: who, when, and whether both agreed. The numbers stand on the record."""
    events = Event.objects.filter(subject_kind="preparation", subject=str(made.pk), name="preparation.read").order_by(
        "number"
    )
    names = dict(Person.objects.filter(username__in=[one.actor for one in events]).values_list("username", "name"))
    site = made.order.site
    return tuple(
        f"{names.get(one.actor, one.actor)} read it at {local(site, one.at):%H:%M}: "
        f"{'both agree' if one.content['agrees'] else 'the readings differ'}."
        for one in events
    )


def _compared(made: Preparation, plan: Plan) -> tuple[tuple[str, str], ...]:
    """Both readings, once they agree."""
    names = [take.in_hand.name for take in plan.takes if take.draw is not None]
    return tuple((name, ml(Fraction(read))) for name, read in zip(names, made.readings, strict=False))
