"""What cannot be understood: one fault, and the exception that carries all faults of one input."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TypeVar

Made = TypeVar("Made")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing that could not be read: the field, the rule it broke, what came, and what is accepted.

    >>> print(Fault(field="dose", rule="a number starts with a digit", came=".5 mg", accepted="0.5 mg"))
    dose: a number starts with a digit. Came: ".5 mg". Accepted: 0.5 mg.
    """

    field: str
    rule: str
    came: str
    accepted: str

    def __str__(self) -> str:
        came = self.came if len(self.came) <= 80 else f"{self.came[:77]}..."
        return f'{self.field}: {self.rule}. Came: "{came}". Accepted: {self.accepted}.'


class Refused(ValueError):
    """Input that was not understood. `faults` holds every fault found, each once, never only the first."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(dict.fromkeys(faults))
        if not self.faults:
            raise ValueError("Refused needs at least one fault")
        super().__init__("\n".join(str(fault) for fault in self.faults))

    def __reduce__(self) -> tuple[type["Refused"], tuple[tuple[Fault, ...]]]:
        return (Refused, (self.faults,))


def gather(faults: Iterable[Fault]) -> None:
    """Raise `Refused` when there is any fault; otherwise do nothing."""
    found = tuple(faults)
    if found:
        raise Refused(found)


class Gathering:
    """Several readings whose faults are told together.

    >>> from drawndose.quantities.numbers import read_number
    >>> gathering = Gathering()
    >>> gathering.take(lambda: read_number("half")), gathering.take(lambda: read_number("2"))
    (None, Fraction(2, 1))
    >>> [fault.came for fault in gathering.faults]
    ['half']
    """

    def __init__(self) -> None:
        self.faults: list[Fault] = []

    def take(self, make: Callable[[], Made]) -> Made | None:
        """What is made, or None with its faults kept."""
        try:
            return make()
        except Refused as refused:
            self.faults += refused.faults
            return None
