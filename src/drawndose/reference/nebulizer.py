"""Nebulizers as data: what stays in the cup, how fast it empties, how much of that is only water, how large the droplets are.

Each figure is a range with its own origin. The packaged kinds state every figure that a kind has; a department's own record
may state only what was measured there, and then the kind's ranges stand for the rest (`completed`).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from enum import Enum
from typing import Any

from drawndose.reference.provenance import Origin, take_origin
from drawndose.reference.span import Span, take_span
from drawndose.reference.table import Table


class NebulizerKind(Enum):
    """What sort of nebulizer."""

    JET = "small-volume jet"
    BREATH_ENHANCED = "breath-enhanced jet"
    BREATH_ACTUATED = "breath-actuated jet"
    ULTRASONIC = "ultrasonic"
    MESH = "mesh"
    LARGE_VOLUME = "large-volume jet"

    @property
    def by_gas(self) -> bool:
        """True when a flow of gas drives it; the others run on electricity."""
        return self not in {NebulizerKind.ULTRASONIC, NebulizerKind.MESH}


class DrivenBy(Enum):
    """With what the figures were measured. Figures found with one gas say nothing of another."""

    OXYGEN_OR_AIR = "oxygen or air"
    HELIOX = "heliox"
    ELECTRICITY = "electricity"


SPANS = {
    "residual": "mL",
    "tapped": "mL",
    "output": "mL/min",
    "evaporated": "",
    "mmad_um": "",
    "gsd": "",
    "flow": "L/min",
    "works_from": "mL",
    "inspiratory_ratio": "",
}
"""The figures of a nebulizer with their units."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Nebulizer:
    """One nebulizer, or one kind of them. None where no figure is stated.

    residual: what stays in the cup at the first sputter, mL; tapped: the same after tapping. output: fall in weight as volume,
    droplets and vapour together, mL/min; evaporated: which share of it is vapour. mmad_um, gsd: droplets by mass, log-normal.
    flow: of the gas that the figures are for, L/min. works_from: least fill that works, mL. inspiratory_ratio: droplet output
    while breathing in, over that while breathing out. named: the words of an order that mean it.
    """

    id: str
    name: str
    kind: NebulizerKind
    driven_by: DrivenBy
    origin: Origin
    named: tuple[str, ...] = ()
    residual: Span | None = None
    tapped: Span | None = None
    output: Span | None = None
    evaporated: Span | None = None
    mmad_um: Span | None = None
    gsd: Span | None = None
    flow: Span | None = None
    works_from: Span | None = None
    inspiratory_ratio: Span | None = None

    def spans(self) -> dict[str, Span]:
        """Every figure that is stated, by its name."""
        found = {one.name: getattr(self, one.name) for one in fields(self) if one.name in SPANS}
        return {name: span for name, span in found.items() if span is not None}


def completed(own: Nebulizer, kinds: Iterable[Nebulizer]) -> Nebulizer:
    """A nebulizer with the ranges of its kind for everything that was not measured on it.

    Figures that were measured with heliox are not completed with those of air: what is missing stays missing.
    """
    base = next(one for one in kinds if one.kind is own.kind)
    if own.driven_by is not base.driven_by:
        return own
    missing: dict[str, Any] = {name: span for name, span in base.spans().items() if getattr(own, name) is None}
    return replace(own, **missing)


def take_nebulizer(table: Table) -> Nebulizer:
    """One nebulizer: a packaged kind, or a department's own."""
    kind = table.choice("kind", NebulizerKind)
    driven = table.choice("driven_by", DrivenBy, DrivenBy.OXYGEN_OR_AIR if kind.by_gas else DrivenBy.ELECTRICITY)
    spans = {name: take_span(table, name, unit) for name, unit in SPANS.items()}
    made = Nebulizer(
        id=table.text("id"),
        name=table.text("name"),
        kind=kind,
        driven_by=driven,
        origin=take_origin(table),
        named=table.texts("named"),
        residual=spans["residual"],
        tapped=spans["tapped"],
        output=spans["output"],
        evaporated=spans["evaporated"],
        mmad_um=spans["mmad_um"],
        gsd=spans["gsd"],
        flow=spans["flow"],
        works_from=spans["works_from"],
        inspiratory_ratio=spans["inspiratory_ratio"],
    )
    _sensible(table, made)
    table.done()
    return made


def _sensible(table: Table, made: Nebulizer) -> None:
    """What no nebulizer can be, whatever was weighed."""
    if (made.driven_by is not DrivenBy.ELECTRICITY) is not made.kind.by_gas:
        table.fault(
            "driven_by", f"a {made.kind.value} nebulizer is not driven so", made.driven_by.value, _drives(made.kind)
        )
    for name, span in made.spans().items():
        if name != "evaporated" and not span.low:
            table.fault(f"{name}.from", "a value of more than 0 is needed", "0", "0.1")
        if name == "evaporated" and span.high >= 1:
            table.fault("evaporated.to", "not everything that leaves is vapour", str(span.high), "0.3")
        if name in {"gsd", "inspiratory_ratio"} and span.low < 1:
            table.fault(f"{name}.from", "it is 1 or more", str(span.low), "1.8")
    if made.flow is not None and not made.kind.by_gas:
        table.fault("flow", f"no gas drives a {made.kind.value} nebulizer", "flow", "no flow")


def _drives(kind: NebulizerKind) -> str:
    return f"{DrivenBy.OXYGEN_OR_AIR.value}, {DrivenBy.HELIOX.value}" if kind.by_gas else DrivenBy.ELECTRICITY.value
