"""The policy in force: the engine's settings that were chosen here, each as text with its reason, over the shipped defaults."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields

from django.db import transaction

from drawndose.bench.moments import Span, read_span
from drawndose.bench.policy import Policy, SecondReading
from drawndose.department.ledger.append import append
from drawndose.department.people.models import Person
from drawndose.department.work.models import Setting
from drawndose.quantities import Fault, Manner, Quantity, Refused, gather, read_quantity, show


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One setting that a manager may choose: what it means, how its text is read, and what is accepted."""

    name: str
    means: str
    accepts: str
    read: Callable[[str, str], object]


def _span(text: str, field: str) -> Span:
    span = read_span(text)
    if span is None:
        raise Refused(
            [Fault(field=field, rule="a life is a whole number with its unit", came=text, accepted="28 d, 96 h")]
        )
    return span


def _time(text: str, field: str) -> Quantity:
    quantity = read_quantity(text, field=field, manner=Manner.READING)
    if quantity.dimension != (("time", 1),) or not quantity.value:
        raise Refused([Fault(field=field, rule="a time above nothing", came=text, accepted="30 min, 1 h, 4 h")])
    return quantity


def _share(text: str, field: str) -> object:
    quantity = read_quantity(text, field=field, manner=Manner.READING)
    if quantity.dimension:
        raise Refused([Fault(field=field, rule="a share", came=text, accepted="15 %")])
    return quantity.base


def _count(text: str, field: str) -> int | None:
    """A whole number; "never" for a prompt that is not wanted."""
    if text == "never":
        return None
    if not (text.isascii() and text.isdecimal() and 0 < int(text) < 1000):
        raise Refused([Fault(field=field, rule="a whole number, or never", came=text, accepted="20, never")])
    return int(text)


def _truth(text: str, field: str) -> bool:
    if text not in {"yes", "no"}:
        raise Refused([Fault(field=field, rule="yes or no", came=text, accepted="yes, no")])
    return text == "yes"


def _names(text: str, field: str) -> tuple[str, ...]:
    del field
    return tuple(dict.fromkeys(name.strip().lower() for name in text.split(",") if name.strip()))


def _kinds(text: str, field: str) -> tuple[SecondReading, ...]:
    found: list[SecondReading] = []
    faults: list[Fault] = []
    for name in (piece.strip() for piece in text.split(",") if piece.strip()):
        try:
            found.append(SecondReading(name))
        except ValueError:
            accepted = ", ".join(one.value for one in SecondReading)
            faults.append(Fault(field=field, rule="one of the kinds", came=name, accepted=accepted))
    gather(faults)
    return tuple(dict.fromkeys(found))


CHOICES = (
    Choice(
        name="start_within", means="from the start of preparing to the start of giving", accepts="1 h, 4 h", read=_time
    ),
    Choice(
        name="bottle_life",
        means="life of an opened dropper bottle whose label prints none",
        accepts="24 h, 7 d, 28 d",
        read=_span,
    ),
    Choice(
        name="vial_life", means="life of an opened injectable multi-dose vial", accepts="28 d or shorter", read=_span
    ),
    Choice(
        name="shared_bottles",
        means="an opened bottle may be shared from a central clean place",
        accepts="yes, no",
        read=_truth,
    ),
    Choice(
        name="second_reading",
        means="what a second person reads",
        accepts=", ".join(one.value for one in SecondReading),
        read=_kinds,
    ),
    Choice(
        name="hazardous", means="drugs that are not prepared at the bedside", accepts="names, with commas", read=_names
    ),
    Choice(name="hazardous_here", means="this place is set up for hazardous drugs", accepts="yes, no", read=_truth),
    Choice(name="controlled", means="drugs whose waste is witnessed", accepts="names, with commas", read=_names),
    Choice(name="time_critical", means="drugs with the shortest window", accepts="names, with commas", read=_names),
    Choice(name="window_critical", means="window of time-critical doses", accepts="30 min", read=_time),
    Choice(name="window_often", means="window of doses more often than daily", accepts="1 h", read=_time),
    Choice(name="window_daily", means="window of daily and rarer doses", accepts="2 h", read=_time),
    Choice(name="caution_above", means="permissible error that is cautioned", accepts="15 %", read=_share),
    Choice(name="refuse_above", means="permissible error that is not offered", accepts="20 %", read=_share),
)
"""Every setting of the engine that can be chosen, in the order of the page."""
BY_NAME = {one.name: one for one in CHOICES}

OBSERVING = (
    Choice(
        name="pulse_rise",
        means="a pulse that rose by more than this, per min, prompts to look (a rule in use, read on one teaching page)",
        accepts="20, never",
        read=_count,
    ),
    Choice(
        name="rate_above",
        means="breaths above this, per min, prompt to look (from memory)",
        accepts="30, never",
        read=_count,
    ),
    Choice(
        name="saturation_below",
        means="oxygen saturation below this, %, prompts to look (from memory)",
        accepts="90, never",
        read=_count,
    ),
)
"""What prompts to look again before and after giving. A prompt diagnoses nothing; `observing` holds the defaults."""
EVERY = BY_NAME | {one.name: one for one in OBSERVING}


def policy() -> Policy:
    """The policy in force now."""
    return _policy({row.name: row.value for row in Setting.objects.all()})


def _policy(texts: dict[str, str]) -> Policy:
    """Refused with every setting that cannot be, alone or together."""
    made: dict[str, object] = {}
    faults: list[Fault] = []
    for name, text in texts.items():
        if name not in BY_NAME:
            continue
        try:
            made[name] = BY_NAME[name].read(text.strip(), name)
        except Refused as refused:
            faults += refused.faults
    gather(faults)
    try:
        return Policy(**made)  # type: ignore[arg-type]
    except ValueError as error:
        came = ", ".join(f"{name} {text}" for name, text in texts.items())
        raise Refused(
            [Fault(field="policy", rule=str(error), came=came, accepted="what the label and issuers allow")]
        ) from error


def choose(name: str, text: str, *, reason: str, by: Person, key: str | None = None) -> None:
    """Choose a setting; an empty text goes back to the shipped default. Refused when it cannot be, or without a reason."""
    faults = []
    if name not in EVERY:
        faults.append(Fault(field="setting", rule="no such setting", came=name, accepted=", ".join(EVERY)))
    if not reason.strip():
        faults.append(
            Fault(field="reason", rule="a reason is needed", came=reason, accepted="who decided it, and when")
        )
    gather(faults)
    with transaction.atomic():
        was = Setting.objects.filter(name=name).first()
        append(
            "policy.chosen" if text.strip() else "policy.default",
            "setting",
            name,
            actor=by.username,
            reason=reason,
            key=key,
            content={"from": was.value if was else "", "to": text.strip()},
        )
        Setting.objects.filter(name=name).delete()
        if text.strip():
            EVERY[name].read(text.strip(), name)
            Setting.objects.create(name=name, value=text.strip(), reason=reason)
        policy()  # refuses what cannot stand beside the others, and the transaction is undone


def shown(name: str, value: object) -> str:
    """The value of a setting in words."""
    if isinstance(value, Span):
        return value.says
    if isinstance(value, Quantity):
        return show(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ", ".join(one.value if isinstance(one, SecondReading) else str(one) for one in value) or "none"
    if value is None:
        return "not decided"
    return show(Quantity.of_text(value * 100, "%")) if name in {"caution_above", "refuse_above"} else str(value)  # type: ignore[operator]


def defaults() -> dict[str, object]:
    """The shipped default of every setting."""
    made = Policy()
    return {one.name: getattr(made, one.name) for one in fields(made) if one.name in BY_NAME}
