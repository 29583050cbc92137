"""Gas as it is asked for: how long a cylinder lasts, what a job needs, whether a source drives the nebulizer, air with oxygen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from drawndose.bench.findings import Finding, Level, Waiver
from drawndose.quantities import show_number
from drawndose.reference import Nebulizer, load
from drawndose.science.aerosol import gas
from drawndose.science.aerosol.bands import Band, range_words
from drawndose.science.aerosol.boxes import find
from drawndose.science.aerosol.exact_boxes import ExactBoxes

BOXES: Final = {
    "cylinder": "its size by letter, or what it holds: E, 0.28 L/psi",
    "pressure": "on the gauge: 2,000 psi",
    "reserve": "what is kept: 200 psi, which it is without it",
    "flow": "as the flowmeter shows it: 8 L/min",
    "heliox": "where heliox runs through an oxygen flowmeter: 80-20",
    "job": "how long it must last: 15 min",
    "gives": "flow of a compressor or a concentrator with the nebulizer on it: 5 L/min",
    "nebulizer": "which nebulizer it drives, by its id: jet",
    "air": "flow of air: 8 L/min",
    "oxygen": "flow of oxygen beside it: 2 L/min",
}
RESERVE_PSI: Final = 200


@dataclass(frozen=True, kw_only=True)
class Supply:
    """What was asked of the gas: rows of a table, and findings."""

    rows: tuple[tuple[str, str], ...]
    findings: tuple[Finding, ...]


def read_supply(boxes: Mapping[str, str], own: Iterable[Nebulizer] = ()) -> Supply:
    """The answer out of boxes. Refused with every fault, and where nothing was asked.

    >>> dict(read_supply({"cylinder": "E", "pressure": "2,000 psi", "flow": "8 L/min"}).rows)["lasts"]
    '63 min'
    >>> dict(read_supply({"flow": "10 L/min", "heliox": "80-20"}).rows)
    {'actual flow': '18 L/min'}
    """
    box = ExactBoxes(boxes, BOXES)
    rows: list[tuple[str, str]] = []
    flow = _flow(box, rows)
    _cylinder(box, flow, rows)
    findings = _drives(box, tuple(own), rows)
    _mixture(box, rows)
    if not rows and not box.faults:
        box.fault("gas", "nothing was asked", "", "a cylinder, a flow with heliox, a source, or air with oxygen")
    box.done()
    return Supply(rows=tuple(rows), findings=findings)


def _flow(box: ExactBoxes, rows: list[tuple[str, str]]) -> float | None:
    """The actual flow: as shown, times the factor of the mixture."""
    shown = box.value("flow", "L/min", "8 L/min" if box.has("cylinder") or box.has("heliox") else "")
    if shown is None:
        return None
    if not shown:
        box.fault("flow", "a flow of more than 0 is needed", box.text("flow"), "8 L/min")
        return None
    if not box.has("heliox"):
        return float(shown)
    mixtures = load().aerosol.heliox
    mixed = mixtures.get(box.text("heliox").replace("/", "-"))
    if mixed is None:
        box.fault("heliox", "no mixture of this name is known", box.text("heliox"), ", ".join(mixtures))
        return None
    actual = box.take(lambda: gas.heliox_flow(float(shown), float(mixed.factor)))
    if actual is None:
        return None
    rows.append(("actual flow", range_words(float(actual), float(actual), 0.1, "L/min")))
    return float(actual)


def _cylinder(box: ExactBoxes, flow: float | None, rows: list[tuple[str, str]]) -> None:
    """How long it lasts, and what a job needs."""
    if not box.has("cylinder"):
        for name in ("pressure", "reserve", "job"):
            if box.has(name):
                box.fault(name, "it goes with a cylinder", box.text(name), "a cylinder, E")
        return
    size = load().aerosol.cylinders.get(box.text("cylinder").upper())
    holds = size.litres_per_psi if size is not None else box.value("cylinder", "L/psi", "E, or 0.28 L/psi")
    reserve = box.value("reserve", "psi") if box.has("reserve") else Fraction(RESERVE_PSI)
    pressure, job = box.value("pressure", "psi"), box.value("job", "min")
    if not box.has("pressure") and not box.has("job"):
        box.fault("pressure", "a pressure or a job is needed", "", "2,000 psi")
    if holds is None or reserve is None or flow is None:
        return
    rows.append(("reserve", f"{show_number(reserve)} psi"))
    if pressure is not None:
        lasts = box.take(lambda: gas.cylinder_minutes(float(holds), float(pressure), float(reserve), flow))
        if lasts is not None:
            rows.append(("lasts", f"{int(float(lasts) + 1e-9)} min"))  # cut, which is the early side
    if job is not None:
        least = box.take(lambda: gas.least_pressure(float(job), flow, float(holds), float(reserve)))
        if least is not None:
            rows.append(("needs at least", range_words(0.0, float(least), 10.0, "psi").rpartition(" to ")[2]))


def _drives(box: ExactBoxes, own: tuple[Nebulizer, ...], rows: list[tuple[str, str]]) -> tuple[Finding, ...]:
    """Whether what a source gives is what the nebulizer is made for."""
    gives = box.value("gives", "L/min", "5 L/min" if box.has("nebulizer") else "")
    if gives is None:
        return ()
    nebulizer = box.take(lambda: find(box.text("nebulizer") or "jet", own))
    if nebulizer is None:
        return ()
    if nebulizer.flow is None:
        box.fault("nebulizer", f"no gas drives a {nebulizer.kind.value} nebulizer", nebulizer.id, "jet")
        return ()
    needs = Band.of_span(nebulizer.flow)
    rows.append(("gives", f"{show_number(gives)} L/min, of {needs.told('L/min')}"))
    if float(gives) >= needs.low:
        return ()
    advice = load().aerosol.advice["weak-compressor"]
    says = f"It gives {show_number(gives)} L/min; a {nebulizer.name} is made for {needs.told('L/min')}."
    return (
        Finding(
            rule="aerosol-weak-source",
            level=Level.CAUTION,
            says=says,
            do=advice.do,
            origin=advice.origin,
            waiver=Waiver.PREPARER,
        ),
    )


def _mixture(box: ExactBoxes, rows: list[tuple[str, str]]) -> None:
    """Oxygen in air with oxygen."""
    if not (box.has("air") or box.has("oxygen")):
        return
    air, oxygen = box.value("air", "L/min", "8 L/min"), box.value("oxygen", "L/min", "2 L/min")
    if air is None or oxygen is None:
        return
    share = box.take(lambda: gas.oxygen_share(float(air), float(oxygen)))
    if share is not None:
        rows.append(("oxygen in the mixture", f"about {100 * float(share):.0f} %, before the breath thins it"))
