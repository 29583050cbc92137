"""What is set up: nebulizer, fill, gas, breath, and what the patient holds. A pure value; every figure is a band.

`SetUp` refuses what cannot be, all at once: a fill that stays in the cup, gas where none drives, figures of air for heliox.
What can be and is unwise is told by `cautions`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Final

from drawndose.quantities import Fault, Quantity, gather
from drawndose.reference import DrivenBy, Nebulizer, NebulizerKind
from drawndose.reference.aerosol import Who
from drawndose.science.aerosol import breathing, cup, task_group
from drawndose.science.aerosol.bands import Band
from drawndose.science.aerosol.droplets import VALID as VALID_SPRAY
from drawndose.science.ranges import Range, Valid


class Through(Enum):
    """What the patient holds."""

    MOUTHPIECE = "mouthpiece"
    MASK = "mask"


class Gas(Enum):
    """What drives the nebulizer."""

    OXYGEN = "oxygen"
    AIR = "air"
    COMPRESSOR = "compressor"
    HELIOX = "heliox"
    NONE = "none"


NEEDS: Final = {
    "residual": "what stays in the cup",
    "output": "its output",
    "evaporated": "the share that is only water",
    "mmad_um": "the size of its droplets",
    "gsd": "the spread of their sizes",
}
"""The figures without which nothing can be worked, in words."""

UNITS: Final = {
    "fill": "mL", "residual": "mL", "output": "mL/min", "evaporated": "", "mmad_um": "micrometres", "gsd": "",
    "inspiratory_ratio": "", "flow": "L/min", "tidal": "mL", "rate": "breaths a minute", "duty": "", "dead": "mL",
}  # fmt: skip

VALID: Final[Valid] = {
    "fill": cup.VALID["fill_mL"],
    "residual": cup.VALID["residual_mL"],
    "output": cup.VALID["output_mL_min"],
    "evaporated": cup.VALID["evaporated"],
    "mmad_um": VALID_SPRAY["mmad_um"],
    "gsd": VALID_SPRAY["gsd"],
    "inspiratory_ratio": breathing.VALID["ratio"],
    "flow": breathing.VALID["flow_L_min"],
    "tidal": breathing.VALID["tidal_mL"],
    "rate": breathing.VALID["rate"],
    "duty": breathing.VALID["duty"],
    "dead": breathing.VALID["dead_mL"],
    "stop": Range(0.5, 6000.0, "min", "time at which it is stopped"),
    "osmolarity": Range(0.0, 5000.0, "mOsm/L", "osmolarity"),
}
NO_DEAD_SPACE: Final = Band.at(0.0)
STEADY: Final = frozenset({NebulizerKind.JET, NebulizerKind.LARGE_VOLUME, NebulizerKind.MESH, NebulizerKind.ULTRASONIC})
"""Kinds that make aerosol alike in and out of breath; only for these is there a rule of what a reservoir saves."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Breath:
    """Whose breath, and how. heights: of a wave of one's own; a half sine without them, one height for even flow."""

    name: str
    who: Who
    tidal: Band
    rate: Band
    duty: Band
    heights: tuple[float, ...] = ()


@dataclass(frozen=True, kw_only=True)
class SetUp:
    """One set-up. Refused with every fault.

    nebulizer: completed with its kind's ranges. figures: typed here and put before the nebulizer's own. flow: the actual flow of
    gas; None where none drives it. stop: minutes after which it is stopped, else at the first sputter. tapped: to the end.
    dead: dead space of mask or connector, mL. dose: the charge; osmolarity: of the fill, mOsm/L.
    """

    nebulizer: Nebulizer
    fill: Band
    breath: Breath
    through: Through = Through.MOUTHPIECE
    gas: Gas = Gas.OXYGEN
    flow: Band | None = None
    figures: Mapping[str, Band] = field(default_factory=dict)
    reservoir: bool = False
    tapped: bool = False
    stop: float | None = None
    dead: Band = NO_DEAD_SPACE
    dose: Quantity | None = None
    osmolarity: Band | None = None

    def __post_init__(self) -> None:
        gather(list(self._faults()))

    @property
    def kind(self) -> NebulizerKind:
        """What sort of nebulizer it is."""
        return self.nebulizer.kind

    def band(self, name: str) -> Band | None:
        """A figure of the nebulizer: as typed, tapped where it is tapped, else its own range."""
        if name in self.figures:
            return self.figures[name]
        own = self.nebulizer.tapped if name == "residual" and self.tapped else getattr(self.nebulizer, name)
        return Band.of_span(own) if own is not None else None

    @property
    def bands(self) -> dict[str, Band]:
        """Every input that is a number, by its name, in the order in which it is drawn."""
        named = {
            "fill": self.fill,
            **{name: self.band(name) for name in (*NEEDS, "inspiratory_ratio")},
            "flow": self.flow,
            "tidal": self.breath.tidal,
            "rate": self.breath.rate,
            "duty": self.breath.duty,
            "dead": self.dead,
        }
        return {name: band for name, band in named.items() if band is not None}

    @property
    def drawn_mL_s(self) -> Band:
        """The flow of the breath over its inspiration, from end to end."""
        breath = self.breath
        return Band(
            breath.tidal.low * breath.rate.low / 60.0 / breath.duty.high,
            breath.tidal.high * breath.rate.high / 60.0 / breath.duty.low,
        )

    @property
    def no_regions(self) -> str:
        """Why no regions are told; empty where they are."""
        if self.breath.who is not Who.ADULT:
            return f"no model for where droplets settle in {_article(self.breath.who)} is used here"
        for what, band, allowed in (
            ("a breath", self.breath.tidal, task_group.VALID["tidal_mL"]),
            ("a flow of the breath", self.drawn_mL_s, task_group.VALID["drawn_mL_s"]),
        ):
            if band.low not in allowed or band.high not in allowed:
                return f"the model of the lung takes {what} of {allowed}, and it is {band.told(allowed.unit)}"
        return ""

    def _faults(self) -> Iterator[Fault]:
        bands = self.bands
        for name, what in NEEDS.items():
            if name not in bands:
                rule = f"{what} is not known for {self._driven()}"
                yield Fault(field=name, rule=rule, came="nothing", accepted="a figure that was measured so")
        yield from self._outside(bands)
        yield from self._of_gas()
        residual = bands.get("residual")
        if residual is not None and self.fill.high <= residual.low:
            came = f"fill {self.fill.told('mL')}, residual {residual.told('mL')}"
            yield Fault(field="fill", rule=cup.SPUTTERS, came=came, accepted=f"more than {residual.low:g} mL")
        if self.reservoir and self.kind not in STEADY:
            rule = f"what a reservoir adds to a {self.kind.value} nebulizer is not known"
            yield Fault(field="reservoir", rule=rule, came="reservoir", accepted="without one")
        if self.tapped and "residual" not in self.figures and self.nebulizer.tapped is None:
            rule = f"what tapping does to a {self.kind.value} nebulizer is not known"
            yield Fault(field="tapped", rule=rule, came="tapped", accepted="a residual of your own")

    def _outside(self, bands: Mapping[str, Band]) -> Iterator[Fault]:
        more = {
            "stop": Band.at(self.stop) if self.stop is not None else None,
            "osmolarity": self.osmolarity,
        }
        for name, band in (*bands.items(), *more.items()):
            if band is not None and (band.low not in VALID[name] or band.high not in VALID[name]):
                allowed = VALID[name]
                rule = f"the {allowed.what} lies outside the range"
                yield Fault(field=name, rule=rule, came=band.told(allowed.unit), accepted=str(allowed))

    def _of_gas(self) -> Iterator[Fault]:
        if not self.kind.by_gas:
            if self.flow is not None or self.gas is not Gas.NONE:
                rule = f"no gas drives a {self.kind.value} nebulizer"
                yield Fault(field="flow", rule=rule, came=self._driven(), accepted="no flow and no gas")
            return
        if self.gas is Gas.NONE or self.flow is None:
            rule = f"a {self.kind.value} nebulizer is driven by a flow of gas"
            yield Fault(field="flow", rule=rule, came="no flow", accepted="8 L/min")
        heliox = self.nebulizer.driven_by is DrivenBy.HELIOX
        if heliox is not (self.gas is Gas.HELIOX) and self.gas is not Gas.NONE:
            measured = "heliox" if heliox else "oxygen or air"
            rule = f"figures that were measured with {measured} say nothing of {self.gas.value}"
            accepted = f"a nebulizer whose figures were measured with {self.gas.value}"
            yield Fault(field="gas", rule=rule, came=self._driven(), accepted=accepted)

    def _driven(self) -> str:
        flow = f", {self.flow.told('L/min')}" if self.flow is not None else ""
        return f"{self.nebulizer.name} with {self.gas.value}{flow}"


def _article(who: Who) -> str:
    return f"an {who.value}" if who is Who.INFANT else f"a {who.value}"
