"""What stands on the bench as the form says: rows to tick, and the containers, instruments and cup made out of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from drawndose.bench.in_hand import InHand
from drawndose.bench.order import Order
from drawndose.department.web.asking import Asked
from drawndose.quantities import Fault, Manner, Quantity, Refused, read_quantity, show
from drawndose.reference import Catalogue, Cup, Instrument, Kind, Presentation


@dataclass(frozen=True, slots=True, kw_only=True)
class PackRow:
    """One fill size of one presentation, as a row to tick."""

    key: str
    presentation: Presentation
    place: int
    size: str
    ticked: bool
    count: str
    left: str
    powder: bool
    is_diluent: bool

    @property
    def name(self) -> str:
        """The presentation and its size, where the name does not say it."""
        return self.presentation.name


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolRow:
    """One syringe size with its tips, or one dropper."""

    name: str
    scale: str
    tips: tuple[tuple[Instrument, bool], ...]


def drugs_of(order: Order | None, asked: Asked, book: Catalogue) -> tuple[str, ...]:
    """Which drugs' containers are listed: the order's; while it is not understood, those that were listed before."""
    if order is not None:
        return tuple(dict.fromkeys(line.drug.id for line in order.lines))
    known = {key.rpartition(":")[0] for key in asked.listed}
    diluents = {one.id for one in book.diluents}
    found = [drug.id for drug in book.drugs for one in book.presentations_of(drug.id) if one.id in known - diluents]
    return tuple(dict.fromkeys(found))


def pack_rows(drugs: Iterable[str], asked: Asked, book: Catalogue) -> tuple[PackRow, ...]:
    """Every fill size of every presentation of the drugs, then the diluents. What was not listed before is ticked."""
    own = [one for drug in drugs for one in book.presentations_of(drug)]
    rows = []
    for presentation in dict.fromkeys((one.id, one) for one in (*own, *(book.diluents if own else ()))):
        made = presentation[1]
        for place, pack in enumerate(made.packs):
            key = f"{made.id}:{place}"
            rows.append(
                PackRow(
                    key=key,
                    presentation=made,
                    place=place,
                    size=show(pack.volume or pack.amount),  # type: ignore[arg-type]
                    ticked=key in asked.packs or key not in asked.listed,
                    count=asked.counts.get(key, ""),
                    left=asked.lefts.get(key, ""),
                    powder=pack.volume is None,
                    is_diluent=bool(made.diluent) and made not in own,
                )
            )
    return tuple(rows)


def containers(rows: Iterable[PackRow], faults: list[Fault]) -> list[InHand]:
    """The ticked rows as containers; every count and rest that cannot be read goes to the faults."""
    found = []
    for row in rows:
        if not row.ticked:
            continue
        pack = row.presentation.packs[row.place]
        count, left = _count(row, faults), _left(row, faults)
        try:
            found.append(InHand(presentation=row.presentation, pack=pack, count=count, left=left))
        except ValueError as wrong:
            rule, accepted = str(wrong).partition(" (got")[0], f"at most {row.size}"
            faults.append(Fault(field=f"left-{row.key}", rule=rule, came=row.left, accepted=accepted))
    return found


def _count(row: PackRow, faults: list[Fault]) -> int | None:
    if not row.count:
        return None
    if row.count.isascii() and row.count.isdecimal() and len(row.count) <= 3 and int(row.count) >= 1:
        return int(row.count)
    rule = "how many is a whole number from 1 to 999; empty means enough"
    faults.append(Fault(field=f"count-{row.key}", rule=rule, came=row.count[:40], accepted="5"))
    return None


def _left(row: PackRow, faults: list[Fault]) -> Quantity | None:
    if not row.left:
        return None
    name = f"left-{row.key}"
    typed = row.left if not row.left.replace(".", "").isdecimal() else f"{row.left} mL"
    try:
        left = read_quantity(typed, field=name, manner=Manner.READING)
    except Refused as refused:
        faults += refused.faults
        return None
    if left.dimension != (("volume", 1),) or not left.value:
        faults.append(Fault(field=name, rule="what is left is a volume above 0", came=row.left[:40], accepted="12 mL"))
        return None
    return left.to("mL")


def tool_rows(asked: Asked, book: Catalogue) -> tuple[ToolRow, ...]:
    """Every syringe size with its tips. A dropper comes with its bottle and is not listed."""
    by_size: dict[str, list[tuple[Instrument, bool]]] = {}
    scales: dict[str, str] = {}
    for tool in book.instruments:
        if tool.kind is Kind.SYRINGE:
            name = tool.name.partition(",")[0]
            by_size.setdefault(name, []).append((tool, not asked.tools_listed or tool.id in asked.tools))
            step = Quantity.of_text(tool.step, "mL")
            scales[name] = f"marks every {show(step)}"
    return tuple(ToolRow(name=name, scale=scales[name], tips=tuple(tips)) for name, tips in by_size.items())


def instruments(rows: Iterable[ToolRow]) -> list[Instrument]:
    """The ticked instruments."""
    return [tool for row in rows for tool, ticked in row.tips if ticked]


def cup(asked: Asked, order: Order | None, book: Catalogue, faults: list[Fault]) -> Cup | None:
    """The cup that was chosen, or else the one that the order names; two different ones are a fault."""
    chosen = next((one for one in book.cups if one.id == asked.cup), None)
    if asked.cup and chosen is None:
        faults.append(
            Fault(field="bench-cup", rule="the cup is one of the list", came=asked.cup[:40], accepted=_cups(book))
        )
    named = order.cup if order is not None else None
    if named is None:
        return chosen
    if chosen is not None and chosen.holds != named:
        rule = f"the order names a {show(named)} cup and the bench another one"
        faults.append(Fault(field="bench-cup", rule=rule, came=chosen.name, accepted="the same cup in both"))
        return None
    fits = next((one for one in book.cups if one.holds == named), None)
    if fits is None:
        rule = "the order's cup is not in the catalogue, so nothing is known of what it needs"
        faults.append(Fault(field="bench-cup", rule=rule, came=show(named), accepted=_cups(book)))
    return fits


def _cups(book: Catalogue) -> str:
    return ", ".join(one.name for one in book.cups)
