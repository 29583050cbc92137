"""The one shape of every worked sum: what it asks, what it takes, how it is worked, and how it goes wrong.

Nothing here computes. A sum is data about a calculation of the trade; `working` does the work.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from drawndose.quantities import Quantity

Answer = Quantity | date
"""What a sum answers with: an exact quantity, or a day (or a moment: a datetime is a date)."""


@dataclass(frozen=True, slots=True)
class Stated:
    """A strength as someone stated it.

    text: as it came. ratio: the amount per volume, or a bare share. basis: "w/v", "w/w", "v/v", "amount" (amount per
    volume, printed so), or "bare" (a percent or a ratio without letters, which is w/v in a volume and a share in a mass).
    line: the conversion in words, empty where nothing needs converting.
    """

    text: str
    ratio: Quantity
    basis: str
    line: str = ""


Value = Quantity | Stated | str
"""What an input reads into; a text is left to the sum that asked for it."""


@dataclass(frozen=True, slots=True)
class Input:
    """One thing a sum may be given: its name, what it means, what is accepted, other names, and its reader.

    read takes the text, the field's name and the name of the drug, and raises Refused.
    """

    name: str
    meaning: str
    accepts: str
    read: Callable[[str, str, str], Value]
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class WrongWay:
    """A named way to get this sum wrong, and the answer it leads to: what to look for when an answer differs."""

    name: str
    says: str
    answer: Answer


@dataclass(frozen=True, slots=True)
class Result:
    """One thing that a sum finds. also: the same in other forms (0.5 % and 5 mg per mL), never another value."""

    name: str
    says: str
    value: Answer
    also: tuple[Quantity, ...] = ()


@dataclass(frozen=True, slots=True)
class Worked:
    """A sum that was worked: the results (the one asked for first), the lines of the working, and the wrong ways."""

    kind: str
    results: tuple[Result, ...]
    lines: tuple[str, ...]
    wrong_ways: tuple[WrongWay, ...] = ()

    @property
    def asked(self) -> str:
        """What the answer is the answer to, in words."""
        return self.results[0].says

    @property
    def answer(self) -> Answer:
        """The exact answer to what was asked."""
        return self.results[0].value


@dataclass(frozen=True, slots=True)
class Sum:
    """One kind of sum: its name in cases, a title, what it asks, the inputs it understands, and its work.

    work takes the texts by input name (see `Input.name`), the drug and the words of what is asked, and raises Refused.
    """

    kind: str
    title: str
    asks: str
    inputs: tuple[Input, ...]
    work: Callable[["Sum", dict[str, str], str, str], Worked]
