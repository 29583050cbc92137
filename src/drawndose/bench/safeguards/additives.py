"""What else goes into the lungs: preservative carried with the dose, an hour and in all."""

from collections.abc import Iterator
from dataclasses import dataclass

from drawndose.bench.findings import Level, Waiver
from drawndose.bench.order import Order
from drawndose.bench.safeguards.how_often import gap_of
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.bench.safeguards.seen import Seen
from drawndose.bench.takes import Take
from drawndose.quantities import Quantity, show, show_about
from drawndose.reference import Carried

THRESHOLD = Quantity.of_text(300, "mcg", "benzalkonium chloride")
"""About this much benzalkonium chloride in a dose has brought bronchospasm in stable asthma (secondary source, see the
catalogue's albuterol notes). Cautioned per hour. No setting: it is quoted as what was observed, and nobody's limit."""
HOUR = Quantity.of_text(1, "h")


@dataclass(frozen=True, slots=True, kw_only=True)
class Additive:
    """One preservative or excipient in the cup: how much in all and, where it runs or doses follow within the hour, in an hour."""

    carried: Carried
    amount: Quantity
    per_hour: Quantity | None
    runs: bool = False


def carried_into_cup(takes: tuple[Take, ...], order: Order) -> tuple[Additive, ...]:
    """Every additive with a printed number, times the volume that goes into the cup."""
    found = []
    for take in takes:
        for carried in take.in_hand.presentation.carries:
            amount = _amount(carried, take)
            if amount is not None:
                hourly = _hourly(amount, order)
                runs = order.continuous and hourly is not None
                found.append(Additive(carried=carried, amount=amount, per_hour=hourly, runs=runs))
    return tuple(found)


def _hourly(amount: Quantity, order: Order) -> Quantity | None:
    """What goes in within an hour: of a mixture that runs, and of doses that follow each other within it."""
    if order.continuous:
        return (amount / order.duration).to("mcg/h") if order.duration is not None else None
    gap = gap_of(order.frequency)
    if order.frequency is None or gap is None or gap >= HOUR:
        return None
    doses = HOUR.over(gap).__ceil__()
    return (amount * min(doses, order.frequency.count or doses) / HOUR).to("mcg/h")


def _amount(carried: Carried, take: Take) -> Quantity | None:
    volume = Quantity.of_text(take.stock_in_cup, "mL")
    if carried.strength is not None and carried.strength.ratio.dimension == (("mass", 1), ("volume", -1)):
        return _readable(carried.strength.ratio * volume)
    if carried.amount is not None:
        pack = take.in_hand.pack.volume
        full = pack.to("mL").value if pack is not None else take.in_hand.contents()
        return _readable(carried.amount * (take.stock_in_cup / full))
    return None


def _readable(amount: Quantity) -> Quantity:
    """In mcg below 1 mg, in mg from there."""
    return amount.to("mcg") if amount.to("mg").value < 1 else amount.to("mg")


def each_preservative(seen: Seen) -> Iterator[Additive]:
    """Every preservative with a printed number that goes into the cup."""
    return (one for one in carried_into_cup(seen.takes, seen.order) if one.carried.role == "preservative")


@rule(
    "preservative-carried",
    Level.CAUTION,
    "How much preservative goes along, and is the mixture continuous?",
    needs=(
        "the preservative's printed strength",
        "the volume taken",
        "the hours of a continuous mixture, or how often",
    ),
    waiver=Waiver.PREPARER,
    over=each_preservative,
)
def preservative_carried(additive: Additive) -> Said | None:
    """Noted always; cautioned for hours on end, and above the amount that has been named as a threshold, at once or in an hour."""
    hourly = additive.per_hour
    told = f"{show_about(additive.amount)} of {additive.carried.substance} goes into the cup"
    if additive.amount.of == THRESHOLD.of:
        told += f" (about {show(THRESHOLD)} has been named as a threshold)"
    says = f"{told}, {show_about(hourly)}." if hourly is not None else f"{told}."
    origin = additive.carried.origin
    most = max(additive.amount, hourly * HOUR) if hourly is not None else additive.amount
    if additive.runs or (most.of == THRESHOLD.of and most >= THRESHOLD):
        return Said(says, "Take a preservative-free presentation for continuous or repeated doses.", origin)
    return Said(says, "Know it is there.", origin, Level.NOTE)


RULES = (preservative_carried,)
