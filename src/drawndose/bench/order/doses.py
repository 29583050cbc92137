"""Doses and strengths inside an order: single, range, per kg with limits, per hour, a volume of a named strength."""

from __future__ import annotations

import re

from drawndose.bench.order.phrases import CASELESS, N
from drawndose.quantities import (
    Fault,
    Form,
    Manner,
    Quantity,
    Refused,
    Strength,
    gather,
    read_number,
    read_quantity,
    read_strength,
)

_AMOUNT = (
    r"(?:mcg|micrograms?|ug|\u00b5g|mgs?|milligrams?|gm|g|grams?|ng|nanograms?|ml|millilit(?:er|re)s?"
    r"|(?:usp )?units?(?![ -]doses?\b)|iu|mmol|meq"
    r"|microlit(?:er|re)s?|\u00b5l|breaths?)"
)
_PER = r"(?:\s?/\s?|\s?per\s?)"
_KG = rf"(?:{_PER}(?:kg|kilogram)\b)?"
_TIME = rf"{_PER}(?:h|hr|hour|min|minute|day|d)\b"
_END = r"(?![a-z0-9\u00b5]|\s?/(?!\s?[a-z]{5}))"  # a stroke may part two drugs; the reader looks that one follows
_UNIT = (
    rf"(?P<scale>\s?(?:million|thousand))?\s{{0,3}}(?P<unit>{_AMOUNT}{_KG}(?P<time>{_TIME})?)"
    rf"(?(time)|(?:{_PER}dose\b)?){_END}"
)
RANGE = re.compile(
    rf"(?P<low>{N})(?P<low_scale>\s?(?:million|thousand))?(?:\s{{0,3}}(?P<low_unit>{_AMOUNT}{_KG}(?:{_TIME})?))?"
    rf"\s{{0,3}}(?P<joint>to|-|\u2013|or)\s{{0,3}}(?P<high>{N}){_UNIT}",
    CASELESS,
)
DOSE = re.compile(rf"(?P<n>{N}){_UNIT}", CASELESS)
DIVIDED = re.compile(
    r"(?:,?\s{0,3}\b(?:divided\s{1,3}(?:by|in|into)|in)\s{1,3}(?P<n>[1-9][0-9]?)(?:\s{1,3}(?:doses|divided doses|equal doses))?\b)",
    CASELESS,
)
LIMIT = re.compile(
    rf"\b(?P<which>max(?:imum)?|no more than|not more than|not above|at most|min(?:imum)?|no less than|not less than|at least)\b"
    rf"\.?\s{{0,3}}(?:dose\s{{1,3}})?(?:of\s{{1,3}}|:\s{{0,3}})?(?P<n>{N}){_UNIT}",
    CASELESS,
)
STRENGTH = re.compile(
    rf"(?P<strength>{N}\s?(?:%|percent\b)(?:\s?\(?w/v\)?)?"
    r"|(?<![0-9a-z.,:/])1\s?(?::|in\s)\s?[0-9](?:[0-9,]{0,20}[0-9])?(?![0-9]|\s?[.,:/][0-9]|\s{0,3}(?:ml|millil))"
    rf"|{N}\s?(?:(?:million|thousand)\s)?{_AMOUNT}\s?(?:/|\s?per\s?)\s?(?:{N}\s?)?(?:ml|millilit(?:er|re)|vial|ampoule|ampule)\b)",
    CASELESS,
)

LEAST_RATIO = 100
"""1 in 100 is 1 %: solutions for a nebulizer are not labelled stronger as a ratio (house bound, from memory)."""
MOST = {"max", "maximum", "no more than", "not more than", "not above", "at most"}


def read_dose(match: re.Match[str], of: str | None, number: str = "n") -> Quantity:
    """The quantity of a dose match; amounts carry the moiety. Raises Refused."""
    scale = (match["scale"] or "").strip()
    return _read(match[number], scale, match["unit"], of)


def _read(number: str, scale: str, unit: str, of: str | None) -> Quantity:
    read_number(number, field="dose", manner=Manner.ORDER)  # alone first, so that the fault names the number
    dose = read_quantity(f"{number} {scale} {unit}", field="dose", manner=Manner.ORDER, of=of)
    if dose.value == 0:
        raise Refused(
            [Fault(field="dose", rule="a dose of nothing is no dose", came=f"{number} {unit}", accepted="2.5 mg")]
        )
    return dose


def same_kind(match: re.Match[str]) -> bool:
    """True when both ends of a range count the same kind of thing: "2.5 mg to 3 mL" is a dose and a fill."""
    if match["low_unit"] is None:
        return True
    low, high = (read_quantity(f"1 {match[name]}", of="it").dimension for name in ("low_unit", "unit"))
    return low == high


def read_range(match: re.Match[str], of: str | None) -> tuple[Quantity, Quantity]:
    """Both ends of a range, each in its own unit. Refused when the low end is not below the high one."""
    faults: list[Fault] = []
    ends: list[Quantity] = []
    scale = (match["scale"] or "").strip()
    low_unit = match["low_unit"] or match["unit"]
    low_scale = (match["low_scale"] or "").strip() if match["low_unit"] or match["low_scale"] else scale
    for number, factor, unit in ((match["low"], low_scale, low_unit), (match["high"], scale, match["unit"])):
        try:
            ends.append(_read(number, factor, unit, of))
        except Refused as refused:
            faults += refused.faults
    gather(faults)
    low, high = ends
    if not low.like(high) or not low < high:
        rule = "a range goes from the smaller to the larger"
        raise Refused([Fault(field="dose", rule=rule, came=match[0], accepted="2.5 to 5 mg")])
    return low, high


def read_named_strength(match: re.Match[str], of: str | None) -> Strength:
    """A strength that the order names. Refused too for a ratio that could be one of mixing."""
    strength = read_strength(match["strength"], field="strength", manner=Manner.ORDER, of=of)
    if strength.form is Form.RATIO and strength.per.value < LEAST_RATIO:
        rule = "a ratio so low could be drug to diluent, or a time"
        raise Refused([Fault(field="strength", rule=rule, came=match[0], accepted="1:1,000, or a percent")])
    return strength
