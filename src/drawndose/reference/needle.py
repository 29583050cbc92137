"""Needles by gauge and length, filter needles and filter straws: what their lumen holds and what stays in them with the hub.

A lumen is a cylinder: pi / 4 * bore^2 * length, exact to fifteen digits of pi, far beyond any bore. It is small: most of what
a needle keeps is its hub, so gauge and length alone say little, and where the hub was not measured nothing is made up.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from drawndose.reference.provenance import Origin, take_origin
from drawndose.reference.table import Table

PI = Fraction(314159265358979, 10**14)


class NeedleKind(Enum):
    """What sort of needle; the last two hold back glass, and nothing is ever pushed out through them."""

    NEEDLE = "needle"
    FILTER_NEEDLE = "filter needle"
    FILTER_STRAW = "filter straw"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bore:
    """The inner diameter of a gauge, mm."""

    gauge: int
    inner_mm: Fraction
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Needle:
    """A needle. keeps: what stays in hub and lumen, mL; None where no figure was found and it must be weighed.

    gauge is None for a straw; length_mm and bore_mm are None where they are not known.
    """

    id: str
    name: str
    kind: NeedleKind
    gauge: int | None
    length_mm: Fraction | None
    bore_mm: Fraction | None
    keeps: Fraction | None
    origin: Origin

    @property
    def filters(self) -> bool:
        """True when it holds back glass."""
        return self.kind is not NeedleKind.NEEDLE

    @property
    def lumen(self) -> Fraction | None:
        """What the tube holds, mL; None where its bore or its length is not known.

        >>> from drawndose.reference import load
        >>> needle = next(one for one in load().needles if one.id == "needle-21g")
        >>> round(needle.lumen, 4), round(needle.hub, 3)
        (Fraction(79, 10000), Fraction(21, 500))
        """
        return _lumen(self.bore_mm, self.length_mm)

    @property
    def hub(self) -> Fraction | None:
        """What the hub holds, mL: what the needle keeps without its lumen; None where either is not known."""
        return self.keeps - self.lumen if self.keeps is not None and self.lumen is not None else None


def _lumen(bore_mm: Fraction | None, length_mm: Fraction | None) -> Fraction | None:
    if bore_mm is None or length_mm is None:
        return None
    return PI / 4 * bore_mm**2 * length_mm / 1000


def take_bore(table: Table) -> Bore:
    """One row of the chart of bores."""
    gauge, inner = _gauge(table), _millimetres(table, "inner_mm")
    if inner is None:
        table.fault("inner_mm", "a length in mm is needed", "", '"0.514"')
    made = Bore(gauge=gauge or 21, inner_mm=inner or Fraction(1), origin=take_origin(table))
    table.done()
    return made


def take_needle(table: Table, bores: Mapping[int, Bore]) -> Needle:
    """One needle of the instruments file. Its bore is its own, or that of its gauge; it states `keeps`, or `hub`, or neither."""
    kind = table.choice("kind", NeedleKind, NeedleKind.NEEDLE)
    gauge = _gauge(table, needed=kind is not NeedleKind.FILTER_STRAW)
    length, bore = _millimetres(table, "length_mm"), _millimetres(table, "bore_mm")
    if bore is None and gauge is not None and gauge in bores:
        bore = bores[gauge].inner_mm
    made = Needle(
        id=table.text("id"),
        name=table.text("name"),
        kind=kind,
        gauge=gauge,
        length_mm=length,
        bore_mm=bore,
        keeps=_keeps(table, _lumen(bore, length)),
        origin=take_origin(table),
    )
    table.done()
    return made


def _keeps(table: Table, lumen: Fraction | None) -> Fraction | None:
    keeps, hub = table.ml("keeps"), table.ml("hub")
    if keeps is not None and hub is not None:
        table.fault(
            "hub", "what a needle keeps and what its hub keeps are one figure", table.text("hub"), "one of them"
        )
    if hub is not None and lumen is None:
        table.fault("hub", "a hub alone needs the length and the bore of the needle", table.text("hub"), "keeps")
    if keeps is not None and lumen is not None and keeps < lumen:
        table.fault(
            "keeps", "a needle keeps no less than its lumen holds", table.text("keeps"), "hub and lumen together"
        )
    return hub + lumen if keeps is None and hub is not None and lumen is not None else keeps


def _gauge(table: Table, *, needed: bool = True) -> int | None:
    gauge = table.raw("gauge")
    if gauge is None and not needed:
        return None
    if isinstance(gauge, bool) or not isinstance(gauge, int) or not 10 <= gauge <= 34:
        table.fault("gauge", "a gauge is a whole number from 10 to 34", repr(gauge), "21")
        return None
    return gauge


def _millimetres(table: Table, key: str) -> Fraction | None:
    found = table.number(key)
    if found == 0:
        table.fault(key, "a length of more than 0 is needed", table.text(key), '"38"')
        return None
    return found
