"""Giving and closing: to the person whose two identifiers match, in time; then everything accounted for."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction

from drawndose.bench.findings import Finding
from drawndose.bench.moments import is_over, told
from drawndose.bench.safeguards import preparation_findings
from drawndose.department.ledger.append import append, now
from drawndose.department.ledger.models import Event
from drawndose.department.people.models import Person
from drawndose.department.work import shelf
from drawndose.department.work.change import change, millilitres, volume_words
from drawndose.department.work.checklist import name_of
from drawndose.department.work.models import Preparation
from drawndose.department.work.places import local
from drawndose.department.work.policy import house
from drawndose.department.work.preparing import _made, follows, plan_of
from drawndose.quantities import Fault, Refused, gather

OBSERVED = ("pulse", "respiratory rate", "oxygen saturation", "breath sounds", "peak flow")
"""What may be noted before and after. Nothing here diagnoses."""


REACTION = "reaction.seen"
"""The event of a reaction to a dose, such as airways that tighten."""
UNDO = timedelta(seconds=10)
"""So long "given" and "not given" can be taken back by the one who pressed it."""
LATE = timedelta(seconds=20)
"""So much longer the server accepts it: a slow network is not the person's."""


def give(
    made: Preparation,
    number: str,
    born: str,
    *,
    by: Person,
    version: int,
    observed: dict[str, str] | None = None,
    started: datetime | None = None,
    rights: Collection[str] = (),
    key: str | None = None,
) -> None:
    """Record that giving starts now, or started at an earlier moment that is written down only now.

    rights: what was confirmed beside the five, where the policy asks for more. Refused unless both identifiers match, the label
    stands, the limit is not past, and every right of the policy is confirmed.
    """
    patient = made.order.patient
    matched = (number.strip() == patient.number) + (born.strip() == patient.born.isoformat())
    moment = _started(made, started)
    found = plan_of(made)
    follows(found)
    state = _made(made, found, given_by=by.username, given_at=moment, identifiers=matched, at_once=by.pk == made.by_id)
    rules = {
        "limit-time-passed",
        "identifiers-not-matched",
        "label-missing",
        "label-incomplete",
        "second-reader-missing",
    }
    stops = [one for one in preparation_findings(state) if one.rule in rules]
    gather(
        [
            *(Fault(field="giving", rule=one.says, came=f"{number}, {born}", accepted=one.do) for one in stops),
            *(
                Fault(field=one, rule="it is confirmed here", came="nothing", accepted="a tick")
                for one in unticked(rights)
            ),
        ]
    )
    with transaction.atomic():
        content = {"before": observed or {}, "given_at": moment.isoformat(), "rights": [*rights]}
        values: dict[str, Any] = {"given_by": by, "given_at": moment}
        values["observed"] = {**made.observed, "before": observed or {}}
        change(made, "preparation", "preparation.given", by=by, version=version, key=key, content=content, **values)
        if made.dose is not None:
            change(made.dose, "dose", "dose.given", by=by, version=made.dose.version)


def more_rights() -> tuple[str, ...]:
    """What the policy wants confirmed at giving beside patient, drug, dose, route and time."""
    return tuple(str(one) for one in house("more_rights"))  # type: ignore[attr-defined]


def unticked(rights: Collection[str]) -> tuple[str, ...]:
    """The rights of the policy that are not among these."""
    return tuple(one for one in more_rights() if one not in rights)


def _started(made: Preparation, started: datetime | None) -> datetime:
    """When giving starts: now, or when it is said to have; never before it was prepared, never in the future."""
    moment = local(made.order.site, now())
    if started is None:
        return moment
    if not is_over(started, moment) or not is_over(made.started_at, started):
        rule = "giving starts after preparing began, and not in the future"
        accepted = f"a time from {told(local(made.order.site, made.started_at))} to {told(moment)}"
        raise Refused([Fault(field="started", rule=rule, came=told(started), accepted=accepted)])
    return started


def take_back(made: Preparation, *, by: Person, version: int, key: str | None = None) -> None:
    """Take "given" or "not given" back, when it was pressed by mistake. Refused for another person, and after some seconds."""
    last = Event.objects.filter(subject_kind="preparation", subject=str(made.pk)).order_by("-number").first()
    faults = []
    if last is not None and last.actor != by.username:
        faults.append(Fault(field="undo", rule="another person pressed it", came=by.name, accepted=last.actor))
    if last is not None and now() - last.at > UNDO + LATE:
        came, accepted = f"{int((now() - last.at).total_seconds())} s", f"{int(UNDO.total_seconds())} s"
        faults.append(
            Fault(field="undo", rule="it can be taken back for some seconds only", came=came, accepted=accepted)
        )
    gather(faults)
    with transaction.atomic():
        values: dict[str, Any] = {"given_by": None, "given_at": None}
        change(made, "preparation", "preparation.taken_back", by=by, version=version, key=key, **values)
        if made.dose is not None:
            change(made.dose, "dose", "dose.taken_back", by=by, version=made.dose.version)


def not_given(made: Preparation, *, by: Person, version: int, reason: str, told: str, key: str | None = None) -> None:
    """Record that it was not given: why, and who was told."""
    _wanted(reason=reason, told=told)
    with transaction.atomic():
        content = {"told": told}
        change(
            made,
            "preparation",
            "preparation.not_given",
            by=by,
            version=version,
            reason=reason,
            key=key,
            content=content,
        )
        if made.dose is not None:
            change(made.dose, "dose", "dose.not_given", by=by, version=made.dose.version, reason=reason)


def _wanted(**texts: str) -> None:
    gather(
        [
            Fault(field=name, rule="this is needed", came=text, accepted="a few words")
            for name, text in texts.items()
            if not text.strip()
        ]
    )


def close(
    made: Preparation,
    *,
    given_nl: int,
    wasted_nl: int,
    left_nl: int,
    by: Person,
    version: int,
    reason: str = "",
    witness: Person | None = None,
    ended_at: datetime | None = None,
    observed: dict[str, str] | None = None,
    outcome: str = "",
    reaction: str = "",
    stream: str = "",
    key: str | None = None,
) -> tuple[Finding, ...]:
    """Close: prepared is what was given, wasted and left. A difference needs a reason; waste of a controlled drug its witness.

    outcome: how it was taken, "tolerated" or why it was stopped. reaction: what was seen of one; it is kept with every lot. stream: where
    waste went. Findings come back, and nothing is
    closed, while something does not add up and no reason was given.
    """
    _ended(made, ended_at)
    amounts = {"given_nl": given_nl, "wasted_nl": wasted_nl, "left_nl": left_nl}
    total = made.total_nl if made.total_nl is not None and made.draw_set.exists() else 0
    judged = _added_up(made, amounts, witness) if total else ()
    if any(one.rule == "waste-witness" for one in judged) or (judged and not reason.strip()):
        return judged
    seen = {"after": observed or {}, "outcome": outcome, "stream": stream}
    content = {
        "prepared_nl": str(total),
        **{name: str(nl) for name, nl in amounts.items()},
        **seen,
        "witness": witness.username if witness else "",
        "ended_at": ended_at.isoformat() if ended_at else "",
    }
    values: dict[str, Any] = {
        "witness": witness,
        "ended_at": ended_at,
        "observed": {**made.observed, **seen},
        **amounts,
    }
    with transaction.atomic():
        event = "preparation.closed"
        change(made, "preparation", event, by=by, version=version, reason=reason, key=key, content=content, **values)
        _put_away(made, by)
        _reacted(made, reaction.strip(), by)
    return ()


def _reacted(made: Preparation, seen: str, by: Person) -> None:
    """A reaction is an event of its own, with every product and lot that was in the cup; without one there is none."""
    if seen:
        drawn = made.draw_set.select_related("container").order_by("pk")
        content = {"seen": seen, "of": [name_of(one.container) for one in drawn]}
        append(REACTION, "steps", str(made.pk), actor=by.username, reason=seen, content=content)


def _ended(made: Preparation, ended_at: datetime | None) -> None:
    if ended_at is not None and not (made.given_at or made.started_at) <= ended_at <= now():
        rule = "giving ends after it starts, and not in the future"
        accepted = f"a time up to {told(local(made.order.site, now()))}"
        raise Refused([Fault(field="ended", rule=rule, came=told(local(made.order.site, ended_at)), accepted=accepted)])


def _added_up(made: Preparation, amounts: dict[str, int], witness: Person | None) -> tuple[Finding, ...]:
    given, wasted, left = (millilitres(nl) for nl in amounts.values())
    who = witness.username if witness else ""
    state = _made(made, plan_of(made), given=given, wasted=wasted, left=left, witness=who)
    return tuple(one for one in preparation_findings(state) if one.rule in {"waste-does-not-add-up", "waste-witness"})


def _put_away(made: Preparation, by: Person) -> None:
    """What a single-dose container still holds is thrown away with the preparation."""
    for one in made.draw_set.select_related("container", "container__site"):
        container = one.container
        if container.state == "opened" and not shelf.hand(container).presentation.multi_dose:
            reason = f"single dose, {volume_words(container.left_nl)} left"
            shelf.discard(container, by=by, version=container.version, reason=reason)


def note(made: Preparation, text: str, *, by: Person, version: int, key: str | None = None) -> None:
    """Add a dated note beside a closed record. What stands there is never changed."""
    _wanted(note=text)
    with transaction.atomic():
        content: dict[str, Any] = {"note": text.strip()}
        change(made, "preparation", "preparation.noted", by=by, version=version, key=key, content=content)
