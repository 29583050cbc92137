"""What is seen of a person before and after: read, kept as numbers, and held against settings that prompt and never diagnose."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from drawndose.department.work.models import Setting
from drawndose.department.work.policy import EVERY
from drawndose.quantities import Fault, gather

DEFAULTS: dict[str, int | None] = {"pulse_rise": 20, "rate_above": 30, "saturation_below": 90}
"""Pulse: a rule in use that one teaching page prints. The others are from memory. All are settings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """One thing that may be noted: its name, the unit behind the number ("" for words), and what a number may be."""

    name: str
    unit: str
    least: int = 0
    most: int = 0


SEEN = (
    Seen(name="pulse", unit="per min", least=10, most=350),
    Seen(name="respiratory rate", unit="per min", least=1, most=150),
    Seen(name="oxygen saturation", unit="%", least=1, most=100),
    Seen(name="breath sounds", unit=""),
    Seen(name="peak flow", unit="L per min", least=10, most=1000),
)
"""In the order of the page. The bounds keep a slip out (9 for 90 it cannot see); they judge nobody."""


def read_seen(texts: Mapping[str, str], when: str) -> dict[str, str]:
    """What was typed, by name; what was left empty is not there. Refused with every fault. when: before or after, for the fault."""
    found: dict[str, str] = {}
    faults: list[Fault] = []
    for one in SEEN:
        text = " ".join(texts.get(one.name, "").split())
        number = text.removesuffix(one.unit).strip() if one.unit else text
        if not text:
            continue
        if not one.unit:
            found[one.name] = text[:200]
        elif number.isascii() and number.isdecimal() and one.least <= int(number) <= one.most:
            found[one.name] = str(int(number))
        else:
            rule, accepted = "a whole number", f"{one.least} to {one.most} {one.unit}"
            faults.append(Fault(field=f"{one.name} {when}", rule=rule, came=text, accepted=accepted))
    gather(faults)
    return found


def words(seen: Mapping[str, str]) -> str:
    """What was noted, in one line."""
    told = (f"{one.name} {seen[one.name]} {one.unit}".strip() for one in SEEN if seen.get(one.name))
    return ", ".join(told) or "not recorded"


def settings() -> dict[str, int | None]:
    """What prompts here."""
    rows = Setting.objects.filter(name__in=DEFAULTS)
    chosen: dict[str, Any] = {row.name: EVERY[row.name].read(row.value, row.name) for row in rows}
    return DEFAULTS | chosen


def prompts(before: Mapping[str, str], after: Mapping[str, str]) -> tuple[str, ...]:
    """What to look at again, each with both numbers. A prompt diagnoses nothing; whoever is there decides."""
    limits, found = settings(), []
    rise = limits["pulse_rise"]
    if rise is not None and "pulse" in before and "pulse" in after:
        first, then = int(before["pulse"]), int(after["pulse"])
        if then - first > rise:
            found.append(
                f"Pulse {first} before, {then} after: it rose by {then - first} per min; the setting is {rise}."
            )
    for when, seen in (("before", before), ("after", after)):
        rate, least = limits["rate_above"], limits["saturation_below"]
        if rate is not None and int(seen.get("respiratory rate", 0)) > rate:
            found.append(f"Respiratory rate {seen['respiratory rate']} per min {when}; the setting is {rate}.")
        if least is not None and int(seen.get("oxygen saturation", 100)) < least:
            found.append(f"Oxygen saturation {seen['oxygen saturation']} % {when}; the setting is {least} %.")
    return tuple(found)
