"""A preparation: begun for a due dose, planned with what was scanned, drawn, read a second time, labelled.

The plan is the engine's, made anew from the same inputs whenever it is needed: nobody can hand in a plan.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from django.db import transaction

from drawndose.bench.findings import Finding, Level
from drawndose.bench.labels import TO_WRITE, LabelLine
from drawndose.bench.plan_data import plan_data
from drawndose.bench.plans import Plan, Status
from drawndose.bench.preparation import Preparation as Made
from drawndose.bench.safeguards import preparation_findings
from drawndose.department.ledger.append import append, now
from drawndose.department.people.models import Person
from drawndose.department.work import shelf
from drawndose.department.work.change import change, nanolitres, volume_words
from drawndose.department.work.models import Container, DueDose, Order, Preparation
from drawndose.department.work.places import local
from drawndose.department.work.planning import picked, plan_of
from drawndose.quantities import Fault, Manner, Refused, gather, read_quantity, show


def begin(order: Order, *, by: Person, dose: DueDose | None = None, key: str | None = None) -> Preparation:
    """Begin: the limit clock starts here. Refused for an order that is not complete, or a dose that someone else has begun."""
    if order.state != "complete":
        accepted = "a complete order"
        raise Refused([Fault(field="order", rule=f"the order is {order.state}", came=order.text, accepted=accepted)])
    with transaction.atomic():
        if dose is not None:
            change(dose, "dose", "dose.begun", by=by, version=dose.version)
        made = Preparation.objects.create(order=order, dose=dose, by=by, started_at=now(), state="begun")
        content = {
            "order": str(order.pk),
            "dose": str(dose.pk) if dose else "",
            "started_at": made.started_at.isoformat(),
        }
        append("preparation.begun", "preparation", str(made.pk), actor=by.username, key=key, content=content)
    return made


def choose(
    made: Preparation,
    containers: Sequence[Container],
    instruments: Sequence[str],
    cup: str,
    *,
    by: Person,
    version: int,
    accept: str = "",
    answers: Mapping[str, str] | None = None,
    key: str | None = None,
) -> Plan:
    """Plan with these containers, instruments and cup. The plan is kept only when it can be followed; it comes back in any case.

    With another plan the steps begin anew. accept and answers: see `picked`.
    """
    chosen = picked(containers, instruments, cup, accept=accept, answers=answers)
    found = plan_of(made, chosen)
    if found.status is not Status.READY or found.limit is None or found.fill is None:
        return found
    with transaction.atomic():
        change(
            made,
            "preparation",
            "preparation.planned",
            by=by,
            version=version,
            key=key,
            content={"chosen": chosen, "found": [one.rule for one in found.findings]},
            chosen=chosen,
            plan=plan_data(found),
            steps_done=[],
            limit_at=found.limit.until,
            total_nl=nanolitres(found.fill.total, "fill"),
        )
    return found


def drawn(
    made: Preparation,
    readings: Sequence[str],
    *,
    by: Person,
    version: int,
    weight: str = "",
    how: str = "",
    key: str | None = None,
) -> tuple[Finding, ...]:
    """Record what was read at each instrument, and take it out of the containers. Findings come back when one stops it.

    readings: one volume as typed for each measured draw of the plan, in its order. weight: what was drawn weighed, where it was
    weighed; kept beside the volume and never taken for it. how: typed, or met by a press, for the ledger.
    """
    found = plan_of(made, live=True)
    follows(found)
    volumes, weighed = _volumes(readings), _weighed(weight)
    judged = _judged(made, found, readings=volumes)
    if any(one.level is Level.STOP and one.rule == "reading-beside-plan" for one in judged):
        return judged
    measured = [take for take in found.takes if take.draw is not None]
    if len(volumes) != len(measured):
        accepted = f"{len(measured)} volumes, one for each measured draw"
        raise Refused(
            [Fault(field="reading", rule="every draw has its reading", came=str(len(volumes)), accepted=accepted)]
        )
    content = {"readings": [str(one) for one in volumes], "weight": weighed, "how": how}
    values: dict[str, Any] = {"readings": content["readings"], "observed": {**made.observed, "weight": weighed}}
    with transaction.atomic():
        change(made, "preparation", "preparation.drawn", by=by, version=version, key=key, content=content, **values)
        for container, volume in _from_containers(made, found):
            shelf.draw(container, made, volume, by=by)
    return ()


def follows(found: Plan) -> None:
    """Refuse to go on with a plan that no longer holds: a container ran out or out of date meanwhile, or an allergy was told."""
    if found.status is not Status.READY:
        stops = [one for one in found.findings if one.level is Level.STOP]
        faults = [Fault(field="plan", rule=one.says, came="the plan as it is now", accepted=one.do) for one in stops]
        gather(
            faults
            or [Fault(field="plan", rule="it no longer holds", came="the plan as it is now", accepted="choose again")]
        )


def _volumes(readings: Sequence[str]) -> tuple[Fraction, ...]:
    faults: list[Fault] = []
    found: list[Fraction] = []
    for place, text in enumerate(readings, start=1):
        try:
            quantity = read_quantity(text, field=f"reading {place}", manner=Manner.READING)
            if quantity.dimension != (("volume", 1),):
                faults.append(Fault(field=f"reading {place}", rule="a volume is wanted", came=text, accepted="0.5 mL"))
            else:
                found.append(quantity.to("mL").value)
        except Refused as refused:
            faults += refused.faults
    gather(faults)
    return tuple(found)


def _weighed(text: str) -> str:
    """A weight in words; "" where none was taken. Refused for what is none."""
    if not text.strip():
        return ""
    quantity = read_quantity(text, field="weight", manner=Manner.READING)
    if quantity.dimension != (("mass", 1),) or quantity.of or not quantity.value:
        raise Refused([Fault(field="weight", rule="a weight above nothing", came=text, accepted="0.503 g")])
    return show(quantity)


def _from_containers(made: Preparation, found: Plan) -> list[tuple[Container, int]]:
    """What leaves which container. Whole ones give all that they hold; a measured draw comes out of the fullest that is left."""
    chosen = [one["id"] for one in made.chosen["containers"]]
    rows = list(Container.objects.select_for_update(of=("self",)).filter(pk__in=chosen).order_by("pk"))
    left = {row.pk: row.left_nl for row in rows}
    taken: dict[int, int] = {}
    diluent = (
        [(found.fill.in_hand, found.fill.added)] if found.fill is not None and found.fill.in_hand is not None else []
    )
    for in_hand, volume in [*((take.in_hand, take.drawn_from_container) for take in found.takes), *diluent]:
        wanted = nanolitres(volume)
        mine = [row for row in rows if row.presentation == in_hand.presentation.id and shelf.same_pack(row, in_hand)]
        for row in sorted(mine, key=lambda one: (one.state != "opened", one.pk)):
            part = min(wanted, left[row.pk])
            if part:
                taken[row.pk] = taken.get(row.pk, 0) + part
                left[row.pk] -= part
                wanted -= part
        if wanted:
            rule = f"{volume_words(wanted)} of {in_hand.name} is missing in what was scanned"
            raise Refused(
                [Fault(field="container", rule=rule, came=volume_words(nanolitres(volume)), accepted="scan one more")]
            )
    return [(row, taken[row.pk]) for row in rows if row.pk in taken]


def read_again(
    made: Preparation, readings: Sequence[str], *, by: Person, version: int, key: str | None = None
) -> tuple[Finding, ...]:
    """A second person's own reading, entered without seeing the first. What differs stops, and is kept in the ledger."""
    found = plan_of(made)
    volumes = _volumes(readings)
    first = tuple(Fraction(one) for one in made.readings)
    judged = tuple(
        one
        for one in preparation_findings(_made(made, found, read_by=by.username, readings=first, second=volumes))
        if one.rule in {"readings-differ", "second-reader-is-first"}
    )
    if by.pk == made.by_id:
        return judged
    content = {"readings": [str(one) for one in volumes], "agrees": not judged}
    with transaction.atomic():
        values: dict[str, Any] = {} if judged else {"read_by": by}
        change(made, "preparation", "preparation.read", by=by, version=version, key=key, content=content, **values)
    return judged


def label(made: Preparation, *, by: Person, version: int, key: str | None = None) -> tuple[LabelLine, ...]:
    """Write the label's content. Refused while a second reading is wanted, or a part cannot be written."""
    found = plan_of(made)
    follows(found)
    lines = label_lines(made, found)
    judged = preparation_findings(_made(made, found, label=lines))
    stops = [one for one in judged if one.rule in {"label-incomplete", "second-reader-missing", "limit-time-passed"}]
    gather([Fault(field="label", rule=one.says, came="the preparation as it is", accepted=one.do) for one in stops])
    with transaction.atomic():
        data = [{"name": line.name, "text": line.text, "large": line.large} for line in lines]
        content = {"lines": [f"{line.name}: {line.text}" for line in lines]}
        change(
            made, "preparation", "preparation.labelled", by=by, version=version, key=key, content=content, label=data
        )
        if made.dose is not None and made.dose.state == "being prepared":
            change(made.dose, "dose", "dose.prepared", by=by, version=made.dose.version)
    return lines


def label_lines(made: Preparation, found: Plan) -> tuple[LabelLine, ...]:
    """The plan's label with the person, the preparer and the second reader written in."""
    patient = made.order.patient
    person = f"{patient.name}, born {patient.born:%d %b %Y}, no. {patient.number}"
    second = f", second reader {made.read_by.name}" if made.read_by else ""
    written = {"person": person, "made by": f"{made.by.name}{second}"}
    return tuple(replace(line, text=written.get(line.name, line.text)) for line in found.label)


def break_off(made: Preparation, *, by: Person, version: int, reason: str, key: str | None = None) -> None:
    """Stop here. What was drawn is waste; the dose is due again."""
    if not reason.strip():
        gather([Fault(field="reason", rule="a reason is needed", came=reason, accepted="why, in a few words")])
    with transaction.atomic():
        change(made, "preparation", "preparation.broken_off", by=by, version=version, reason=reason, key=key)
        if made.dose is not None and made.dose.state in {"being prepared", "prepared"}:
            change(made.dose, "dose", "dose.released", by=by, version=made.dose.version, reason=reason)


def judged_now(made: Preparation) -> tuple[Finding, ...]:
    """What stands against a preparation as it is at this moment."""
    return preparation_findings(_made(made, plan_of(made)))


def _judged(made: Preparation, found: Plan, **more: Any) -> tuple[Finding, ...]:
    return preparation_findings(_made(made, found, **more))


def _made(made: Preparation, found: Plan, **more: Any) -> Made:
    """The preparation as the engine judges it."""
    site = made.order.site
    lines = tuple(LabelLine(name=one["name"], text=one["text"], large=one["large"]) for one in made.label)
    known: dict[str, Any] = {
        "plan": found,
        "started": local(site, made.started_at),
        "now": local(site, now()),
        "prepared_by": made.by.username,
        "read_by": made.read_by.username if made.read_by else "",
        "given_by": made.given_by.username if made.given_by else "",
        "witness": made.witness.username if made.witness else "",
        "readings": tuple(Fraction(one) for one in made.readings),
        "label": lines,
        "at_once": not lines,
    }
    return Made(**known | more)


__all__ = [
    "TO_WRITE",
    "begin",
    "break_off",
    "choose",
    "drawn",
    "judged_now",
    "label",
    "picked",
    "plan_of",
    "read_again",
]
