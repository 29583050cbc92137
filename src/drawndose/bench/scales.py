"""A capacity is no scale: a measure that is only called by its capacity is asked for, never guessed."""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction

from drawndose.bench.draws import Draw, ml
from drawndose.bench.order import Question
from drawndose.quantities import Fault, Refused, nearest, read_quantity
from drawndose.reference import TIPS, Instrument, Kind, scales_of

_CALLED = re.compile(
    r"(?P<capacity>[0-9.]+ ?mL)\s+(?P<kind>syringe|graduated cylinder|cylinder)"
    r"(?:\s+marked every\s+(?P<step>[0-9.]+ ?mL))?(?:,?\s+(?P<tip>luer lock|luer slip|oral tip))?",
    re.IGNORECASE,
)
LISTED = "`drawndose catalogue instruments`"
ACCEPTED = "an id, or as in 1 mL syringe marked every 0.01 mL, oral tip"


def called(text: str, measures: Iterable[Instrument], *, field: str = "with") -> Instrument:
    """The measure of an id or of a name that says its scale and its tip.

    Refused where the name fits none, and where it fits several: then each is named with its scale, for the person to look.

    >>> from drawndose.reference import load
    >>> called("3 mL syringe, oral tip", load().measures).id
    'syringe-3-oral'
    >>> called("1 mL syringe, oral tip", load().measures)  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    drawndose.quantities.faults.Refused: with: several are called so: read scale and tip on yours. Came: ...
    """
    every = tuple(measures)
    for one in every:
        if one.id == text.strip():
            return one
    parts = _CALLED.fullmatch(" ".join(text.split()))
    fits = _fitting(parts, every, field) if parts is not None else []
    if len(fits) == 1:
        return fits[0]
    if not fits:
        accepted = f"{ACCEPTED}; {nearest(text, [one.id for one in every], LISTED)}"
        rule = "no instrument here is called so"
    else:
        accepted = "; ".join(f"{one.id} ({_scale_words(one)})" for one in fits)
        rule = "several are called so: read scale and tip on yours"
    raise Refused([Fault(field=field, rule=rule, came=text, accepted=accepted)])


def _fitting(parts: re.Match[str], every: tuple[Instrument, ...], field: str) -> list[Instrument]:
    capacity = _ml(parts["capacity"], field)
    kind = Kind.SYRINGE if parts["kind"].lower() == "syringe" else Kind.CYLINDER
    step = _ml(parts["step"], field) if parts["step"] else None
    tip = (parts["tip"] or "").lower()
    return [
        one
        for one in every
        if (one.kind, one.capacity) == (kind, capacity)
        and step in {None, one.step}
        and tip in {"", TIPS.get(one.tip, "")}
    ]


def _ml(text: str, field: str) -> Fraction:
    return read_quantity(text, field=field).to("mL").value


def _scale_words(one: Instrument) -> str:
    tip = f", {TIPS[one.tip]}" if one.tip in TIPS else ""
    return f"marks every {ml(one.step)}, numbers every {ml(one.numbered)}{tip}"


def scale_questions(draws: Iterable[Draw], measures: Iterable[Instrument]) -> tuple[Question, ...]:
    """Which scale? for every drawn capacity of which the bench holds several; the plan stands, read on the one it names."""
    every, found = tuple(measures), []
    for one in draws:
        steps = scales_of(every, one.instrument)
        if len(steps) > 1:
            listed = f"{', '.join(ml(step) for step in steps[:-1])} and {ml(steps[-1])}"
            asks = (
                f"Which {ml(one.instrument.capacity)} {one.instrument.kind.value}? On this bench some have marks every {listed}; "
                f"this plan is read on the one with marks every {ml(one.instrument.step)}. Look at yours."
            )
            found.append(Question(field="instruments", asks=asks, blocking=False))
    return tuple(dict.fromkeys(found))
