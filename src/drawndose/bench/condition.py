"""What can be read on, or said of, one physical container: its dates, who it belongs to, how it was kept, what is seen."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date, datetime
from enum import Enum

from drawndose.bench.moments import is_over, told, told_day
from drawndose.quantities import Fault, gather


class Sight(Enum):
    """What an eye can find wrong with a container or its liquid."""

    CLOUDY = "cloudy"
    PARTICLES = "particles"
    PRECIPITATE = "precipitate"
    DISCOLOURED = "discoloured"
    LEAKING = "leaking"
    DAMAGED = "damaged"
    IN_DOUBT = "sterility in doubt"


class Kept(Enum):
    """Where it stood since it was opened."""

    REFRIGERATED = "refrigerated"
    ROOM = "room temperature"


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """One container as it stands there. None, or empty, where nobody said it: what is not said is never assumed.

    expiry: last day of the printed expiry. opened: when it was first opened or entered for an EARLIER dose; undated: it is
    open and carries no date. discard_after: the last day that someone wrote on it. made_up: when a powder was made up.
    pouch_opened, out_of_pouch, out_of_refrigerator: when that happened; loose: found outside its pouch without a date.
    kept: where it stood since. seen: what an eye finds wrong. touched: dropper, tip or stopper met something unclean, or
    liquid went back into it. bedside: it was in an immediate patient treatment area. owner: the person it belongs to, and
    person: the one that it is to be used for, by the same kind of identifier. day_only: the moments of which only the day was
    said; each is then the first of that day.
    """

    lot: str = ""
    expiry: date | None = None
    opened: datetime | None = None
    undated: bool = False
    discard_after: date | None = None
    made_up: datetime | None = None
    pouch_opened: datetime | None = None
    out_of_pouch: datetime | None = None
    out_of_refrigerator: datetime | None = None
    loose: bool = False
    kept: Kept | None = None
    seen: tuple[Sight, ...] = ()
    touched: bool = False
    bedside: bool = False
    owner: str = ""
    person: str = ""
    day_only: tuple[str, ...] = ()

    @property
    def open_before(self) -> bool:
        """True when it was open before this preparation."""
        return self.opened is not None or self.undated

    def when(self, name: str) -> str:
        """A moment in words, or the day where only that was said."""
        value: datetime = getattr(self, name)
        return told_day(value.date()) if name in self.day_only else told(value)

    def counted(self, name: str) -> str:
        """What is counted from where only the day was said, in words; nothing where the moment was."""
        return ", the day alone: counted from its first minute" if name in self.day_only else ""

    def hold(self, now: datetime) -> None:
        """Refused when something in it has not happened yet, or contradicts itself; every fault at once."""
        faults = [
            Fault(
                field=one.name,
                rule=f"it lies after {told(now)}, the moment asked about",
                came=self.when(one.name),
                accepted="a moment before it",
            )
            for one in fields(self)
            if isinstance(value := getattr(self, one.name), datetime) and not is_over(value, now)
        ]
        if self.undated and (self.opened is not None or self.discard_after is not None):
            came = self.when("opened") if self.opened is not None else str(self.discard_after)
            faults.append(
                Fault(
                    field="undated",
                    rule="a container that carries a date is not undated",
                    came=came,
                    accepted="one of them",
                )
            )
        gather(faults)
