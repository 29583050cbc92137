"""The two lines at the top of a sheet: the person with two identifiers; drug, dose, route, container. Never cut, never scrolled away."""

from __future__ import annotations

from dataclasses import dataclass

from drawndose.bench.order import Order as Reading
from drawndose.bench.plans import Plan
from drawndose.department.work.models import Container, Order, Preparation
from drawndose.department.work.orders import reading_of
from drawndose.quantities import show
from drawndose.reference import load


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """name, born and number: of the person. order: drug, dose and route in words; names: the drugs in it, to be set bold. container: what it is drawn from."""

    name: str
    born: str
    number: str
    order: str
    names: tuple[str, ...]
    container: str = ""


def strip_of(made: Preparation, plan: Plan | None = None) -> Strip:
    """The strip of a sheet."""
    return strip_of_order(made.order, _container(made))


def strip_of_order(order: Order, container: str = "") -> Strip:
    """The strip of an order from which nothing was begun yet."""
    reading, patient = reading_of(order.text), order.patient
    return Strip(
        name=patient.name,
        born=f"{patient.born:%d %b %Y}",
        number=patient.number,
        order=_short(reading),
        names=tuple(line.as_written for line in reading.lines),
        container=container,
    )


def _short(reading: Reading) -> str:
    """Drug, dose, route and fill; how often and why stand on the order's own page."""
    doses = []
    for line in reading.lines:
        amount = line.dose.amount or line.dose.also
        doses.append(f"{line.as_written} {show(amount)}" if amount is not None else line.as_written)
    fill = reading.fill.says.strip(" ,") if reading.fill is not None else ""
    return ", ".join(part for part in (f"{' and '.join(doses)} {reading.route}".strip(), fill) if part)


def _container(made: Preparation) -> str:
    """The drug's container, as it was chosen: the one with the active part that the order names."""
    rows = Container.objects.filter(pk__in=[one["id"] for one in made.chosen.get("containers", [])]).order_by("pk")
    drugs = {line.drug.id for line in reading_of(made.order.text).lines}
    book = load()
    told: dict[str, None] = {}
    for row in rows:
        record = book.presentation(row.presentation)
        if drugs & {record.drug, *record.also_drugs}:
            told[f"{record.container.value}, lot {row.lot}"] = None
    return "; ".join(told)
