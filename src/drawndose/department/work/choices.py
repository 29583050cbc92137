"""Every setting that a manager may choose: what it means and changes, where its default is from, and how its text is read.

Settings of the engine stand in its `Policy`; those of the house (times of day, how long a silence lasts) are kept beside them.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import time
from enum import Enum
from fractions import Fraction

from drawndose.bench.moments import Span, read_span
from drawndose.bench.policy import SecondReading
from drawndose.department.work import nebulizers
from drawndose.paper.size import Size
from drawndose.quantities import Fault, Manner, Quantity, Refused, gather, read_quantity, show
from drawndose.reference import Nebulizer, load

CLOCK = re.compile(r"(?:[01][0-9]|2[0-3]):[0-5][0-9]", re.ASCII)
LONGEST_SILENCE = 90
"""Days. A choice of this house."""
LEAST_YEARS = 6
"""Years, from memory: 45 CFR 164.316(b)(2), what a security policy asks to be written down. Patients' records may need more."""
NONE = "none"
"""What is typed for an empty list."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One setting.

    name: its name in the policy. means: what it is. effect: what changes with it. source: where the default is from. accepts: what
    may be typed. read: its text to a value; Refused when it is none. default: of a house setting; the engine keeps its own.
    undecided: how a value that nobody chose is told.
    """

    name: str
    means: str
    effect: str
    source: str
    accepts: str
    read: Callable[[str, str], object]
    default: str = ""
    undecided: str = "not decided"


def _refuse(field: str, rule: str, came: str, accepted: str) -> Refused:
    return Refused([Fault(field=field, rule=rule, came=came, accepted=accepted)])


def a_span(text: str, field: str) -> Span:
    """A life or a length of days."""
    span = read_span(text)
    if span is None:
        raise _refuse(field, "a life is a whole number with its unit", text, "28 d, 96 h")
    return span


def a_time(text: str, field: str) -> Quantity:
    """A time above nothing."""
    quantity = read_quantity(text, field=field, manner=Manner.READING)
    if quantity.dimension != (("time", 1),) or not quantity.value:
        raise _refuse(field, "a time above nothing", text, "30 min, 1 h, 4 h")
    return quantity


def a_share(text: str, field: str) -> object:
    """A share."""
    quantity = read_quantity(text, field=field, manner=Manner.READING)
    if quantity.dimension:
        raise _refuse(field, "a share", text, "15 %")
    return quantity.base


def a_share_or_never(text: str, field: str) -> object:
    """A share, or "never"."""
    return None if text == "never" else a_share(text, field)


def a_truth(text: str, field: str) -> bool:
    """yes or no."""
    if text not in {"yes", "no"}:
        raise _refuse(field, "yes or no", text, "yes, no")
    return text == "yes"


def a_count(text: str, field: str) -> int:
    """A whole number of few digits."""
    if not (text.isascii() and text.isdecimal() and len(text) < 4):
        raise _refuse(field, "a whole number", text, "3")
    return int(text)


def a_volume(text: str, field: str) -> Quantity:
    """A volume above nothing."""
    quantity = read_quantity(text, field=field, manner=Manner.READING)
    if quantity.dimension != (("volume", 1),) or not quantity.value:
        raise _refuse(field, "a volume above nothing", text, "1 mL")
    return quantity


def a_prompt(text: str, field: str) -> int | None:
    """A whole number above nothing; "never" for a prompt that is not wanted."""
    if text == "never":
        return None
    if not (text.isascii() and text.isdecimal() and 0 < int(text[:9]) < 1000):
        raise _refuse(field, "a whole number, or never", text, "20, never")
    return int(text)


def years(text: str, field: str) -> int | None:
    """A whole number of years, not fewer than a law asks for what a system writes down; "not decided" for none."""
    if text == "not decided":
        return None
    count = a_count(text, field)
    if count < LEAST_YEARS:
        raise _refuse(field, f"at least {LEAST_YEARS} years", text, "10, not decided")
    return count


def training_years(text: str, field: str) -> int | None:
    """A whole number of years above nothing; "not decided" for none."""
    if text == "not decided":
        return None
    count = a_count(text, field)
    if not count:
        raise _refuse(field, "at least 1 year", text, "3, not decided")
    return count


def a_word_of(kind: type[Enum]) -> Callable[[str, str], Enum]:
    """A reader of one of the words of this kind."""
    return lambda text, field: kind(one_of(*(one.value for one in kind))(text, field))


def words_of(kind: type[Enum]) -> str:
    """What may be typed for one of this kind."""
    return ", ".join(str(one.value) for one in kind)


def one_of(*words: str) -> Callable[[str, str], str]:
    """A reader of one of these words."""

    def read(text: str, field: str) -> str:
        if text not in words:
            raise _refuse(field, "one of the words", text, ", ".join(words))
        return text

    return read


def names(text: str, field: str) -> tuple[str, ...]:
    """Names with commas; "none" for an empty list."""
    del field
    pieces = (name.strip().lower() for name in text.split(","))
    return tuple(dict.fromkeys(name for name in pieces if name and name != NONE))


def drugs(text: str, field: str) -> tuple[str, ...]:
    """Drugs of the catalogue, by any of their names, to their ids. Refused with every one that it does not have."""
    book = load()
    wanted = names(text, field)
    rule, accepted = "no drug of the catalogue has this name", "albuterol, pentamidine"
    gather(Fault(field=field, rule=rule, came=name, accepted=accepted) for name in wanted if name not in book.names)
    return tuple(dict.fromkeys(book.names[name][0] for name in wanted))


def equivalences(text: str, field: str) -> tuple[str, ...]:
    """Ids of published equivalences. Refused with every one that there is not."""
    known = {one.id for drug in load().drugs for moiety in drug.moieties for one in moiety.equivalences}
    wanted = names(text, field)
    accepted = ", ".join(sorted(known))
    gather(
        Fault(field=field, rule="no such equivalence", came=name, accepted=accepted)
        for name in wanted
        if name not in known
    )
    return wanted


def a_silence(text: str, field: str) -> Span:
    """How long a silence may last: days, and not more than the shipped default."""
    span = a_span(text, field)
    if span.unit != "day" or span.count > LONGEST_SILENCE:
        raise _refuse(field, f"days, and at most {LONGEST_SILENCE}", text, "28 d")
    return span


def kinds(text: str, field: str) -> tuple[SecondReading, ...]:
    """Kinds of second reading, with commas."""
    found: list[SecondReading] = []
    faults: list[Fault] = []
    for name in names(text, field):
        try:
            found.append(SecondReading(name))
        except ValueError:
            accepted = ", ".join(one.value for one in SecondReading)
            faults.append(Fault(field=field, rule="one of the kinds", came=name, accepted=accepted))
    gather(faults)
    return tuple(dict.fromkeys(found))


def streams(text: str, field: str) -> tuple[tuple[str, str], ...]:
    """Where waste goes, by drug: `epinephrine: hazardous waste; ...`."""
    if text == NONE:
        return ()
    found = []
    for piece in text.split(";"):
        drug, colon, stream = (part.strip() for part in piece.partition(":"))
        if not (drug and colon and stream):
            raise _refuse(field, "a drug and where its waste goes", piece.strip(), "epinephrine: hazardous waste")
        found += [(ident, stream) for ident in drugs(drug, field)]
    return tuple(found)


def clocks(count: int) -> Callable[[str, str], object]:
    """A reader of so many times of day, in their order."""

    def read(text: str, field: str) -> tuple[time, ...]:
        pieces = [piece.strip() for piece in text.split(",")]
        accepted = BY_COUNT[count]
        if len(pieces) != count or any(CLOCK.fullmatch(piece) is None for piece in pieces):
            raise _refuse(field, f"{count} times of 24 h, with commas", text, accepted)
        if sorted(set(pieces)) != pieces:
            raise _refuse(field, "times stand in their order, each once", text, accepted)
        return tuple(time.fromisoformat(piece) for piece in pieces)

    return read


BY_COUNT = {
    1: "08:00",
    2: "08:00, 20:00",
    3: "08:00, 14:00, 20:00",
    4: "08:00, 12:00, 16:00, 20:00",
}
"""House times of day by how many doses a day has: common practice, no published source."""


def shown(value: object, undecided: str = "not decided") -> str:
    """The value of a setting in words."""
    if value is None:
        return undecided
    if isinstance(value, Fraction):
        return show(Quantity.of_text(value * 100, "%"))
    if isinstance(value, Span):
        return value.says
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, Quantity):
        return show(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        pairs = bool(value) and isinstance(value[0], (tuple, Nebulizer))
        return ("; " if pairs else ", ").join(_one(one) for one in value) or NONE
    return str(value)


def _one(value: object) -> str:
    if isinstance(value, SecondReading):
        return value.value
    if isinstance(value, time):
        return value.strftime("%H:%M")
    if isinstance(value, Nebulizer):
        return nebulizers.words(value)
    if isinstance(value, Size):
        return value.says
    return ": ".join(value) if isinstance(value, tuple) else str(value)
