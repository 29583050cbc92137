"""Giving and closing: to the person whose two identifiers match, in time; then everything accounted for."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db import transaction

from drawndose.bench.findings import Finding
from drawndose.bench.safeguards import preparation_findings
from drawndose.department.ledger.append import now
from drawndose.department.people.models import Person
from drawndose.department.work import shelf
from drawndose.department.work.change import change, millilitres, volume_words
from drawndose.department.work.models import Preparation
from drawndose.department.work.places import local
from drawndose.department.work.preparing import _made, plan_of
from drawndose.quantities import Fault, gather
from drawndose.reference import load

OBSERVED = ("pulse", "respiratory rate", "oxygen saturation", "breath sounds", "peak flow")
"""What may be noted before and after. Nothing here diagnoses."""


def give(
    made: Preparation,
    number: str,
    born: str,
    *,
    by: Person,
    version: int,
    observed: dict[str, str] | None = None,
    key: str | None = None,
) -> None:
    """Record that giving starts now. Refused unless both identifiers match, the label stands, and the limit is not past."""
    patient = made.order.patient
    matched = (number.strip() == patient.number) + (born.strip() == patient.born.isoformat())
    moment = local(made.order.site, now())
    state = _made(
        made, plan_of(made), given_by=by.username, given_at=moment, identifiers=matched, at_once=by.pk == made.by_id
    )
    rules = {
        "limit-time-passed",
        "identifiers-not-matched",
        "label-missing",
        "label-incomplete",
        "second-reader-missing",
    }
    stops = [one for one in preparation_findings(state) if one.rule in rules]
    gather([Fault(field="giving", rule=one.says, came=f"{number}, {born}", accepted=one.do) for one in stops])
    with transaction.atomic():
        content = {"before": observed or {}, "given_at": moment.isoformat()}
        values: dict[str, Any] = {"given_by": by, "given_at": moment, "observed": {"before": observed or {}}}
        change(made, "preparation", "preparation.given", by=by, version=version, key=key, content=content, **values)
        if made.dose is not None:
            change(made.dose, "dose", "dose.given", by=by, version=made.dose.version)


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
    key: str | None = None,
) -> tuple[Finding, ...]:
    """Close: prepared is what was given, wasted and left. A difference needs a reason; waste of a controlled drug its witness.

    Findings come back, and nothing is closed, while something does not add up and no reason was given.
    """
    total = made.total_nl if made.total_nl is not None and made.draw_set.exists() else 0
    judged: tuple[Finding, ...] = ()
    if total:
        state = _made(
            made,
            plan_of(made),
            given=millilitres(given_nl),
            wasted=millilitres(wasted_nl),
            left=millilitres(left_nl),
            witness=witness.username if witness else "",
        )
        judged = tuple(
            one for one in preparation_findings(state) if one.rule in {"waste-does-not-add-up", "waste-witness"}
        )
    if any(one.rule == "waste-witness" for one in judged) or (judged and not reason.strip()):
        return judged
    with transaction.atomic():
        change(
            made,
            "preparation",
            "preparation.closed",
            by=by,
            version=version,
            reason=reason,
            key=key,
            content={
                "prepared_nl": str(total),
                "given_nl": str(given_nl),
                "wasted_nl": str(wasted_nl),
                "left_nl": str(left_nl),
            },
            given_nl=given_nl,
            wasted_nl=wasted_nl,
            left_nl=left_nl,
            witness=witness,
            ended_at=ended_at,
            observed={**made.observed, "after": observed or {}},
        )
        _put_away(made, by)
    return ()


def _put_away(made: Preparation, by: Person) -> None:
    """What a single-dose container still holds is thrown away with the preparation."""
    for one in made.draw_set.select_related("container", "container__site"):
        container = one.container
        if container.state == "opened" and not load().presentation(container.presentation).multi_dose:
            reason = f"single dose, {volume_words(container.left_nl)} left"
            shelf.discard(container, by=by, version=container.version, reason=reason)


def note(made: Preparation, text: str, *, by: Person, version: int, key: str | None = None) -> None:
    """Add a dated note beside a closed record. What stands there is never changed."""
    _wanted(note=text)
    with transaction.atomic():
        content: dict[str, Any] = {"note": text.strip()}
        change(made, "preparation", "preparation.noted", by=by, version=version, key=key, content=content)
