"""Until when giving must have started: from the start of preparing, by the setting, the products' own labels, the mixture.

Sources: USP <797> as read in secondary texts: 1 h (2008 chapter) or 4 h (2023 chapter) from the START of preparing to
the start of giving; the shorter is the default until a facility chooses. A label's shorter time wins,
and so does that of the mixture.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from drawndose.bench.compatibility import shortest
from drawndose.bench.policy import Policy
from drawndose.bench.takes import Take
from drawndose.quantities import Quantity, Refused, read_quantity, show
from drawndose.reference import How, Origin

CHAPTER = Origin(source="usp-797-immediate-use", at="immediate use, 2008 and 2023", how=How.SECONDARY)
AT_ONCE = "at once"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """The limit: how long from the start of preparing, the rule that set it, and the time when the start is known.

    origin: of what is said, "at once" too. within_origin: of the time after which giving may not start any more.
    """

    within: Quantity
    says: str
    at_once: bool
    until: datetime | None
    origin: Origin
    within_origin: Origin


def limit(takes: tuple[Take, ...], policy: Policy, started: datetime | None) -> Limit:
    """The earliest of the setting, the labels and the mixture. `started` is when preparing began; there is no clock in here."""
    within, says, origin = policy.start_within, f"within {show(policy.start_within)} of starting to prepare", CHAPTER
    at_once, by = False, CHAPTER
    for take in takes:
        for life in take.in_hand.presentation.lives:
            if take.in_hand.presentation.multi_dose and life.after != "diluted":
                continue
            if life.after not in {"opened", "reconstituted", "diluted"} and life.lasts != AT_ONCE:
                continue
            if life.lasts == AT_ONCE:
                at_once, says, origin = True, f"at once, and {says.removeprefix('at once, and ')}", life.origin
            elif (span := _time(life.lasts)) is not None and span < within:
                within, says, origin = span, f"within {show(span)} of starting to prepare", life.origin
                by = life.origin
    mixture = shortest(takes)
    if mixture is not None and mixture.within is not None and mixture.within < within:
        within, origin = mixture.within, mixture.origin
        by = mixture.origin
        says = f"{'at once, and ' if at_once else ''}within {show(within)} of starting to prepare"
    until = _later(started, within) if started is not None else None
    return Limit(within=within, says=says, at_once=at_once, until=until, origin=origin, within_origin=by)


def _later(started: datetime, within: Quantity) -> datetime:
    """So much elapsed time later, at the same place: counted in UTC, so that a clock change moves nothing."""
    elapsed = timedelta(seconds=int(within.to("s").value))
    return (started.astimezone(UTC) + elapsed).astimezone(started.tzinfo)


def _time(text: str) -> Quantity | None:
    try:
        quantity = read_quantity(text, field="life")
    except Refused:
        return None
    return quantity if quantity.dimension == (("time", 1),) else None
