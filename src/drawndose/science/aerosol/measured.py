"""A department's own nebulizer, weighed before and after: residual volume and output with their uncertainty, as its own ranges.

The balance tells what left, drug and water together. How much of it was only water is told by the cup's concentration, where
that was measured, else by the range of its kind; and only then is it told how much drug left. One run says nothing of how far runs
differ; from several the range is that of the next run.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from json import dumps
from math import sqrt
from typing import Final

from drawndose.quantities import Fault, gather
from drawndose.science.aerosol.bands import LEVEL_PERCENT, Band
from drawndose.science.aerosol.cup import SPUTTERS, emitted_share
from drawndose.science.aerosol.vapour import share_from_ratio
from drawndose.science.budget import Model, Shape, Term, Values, budget
from drawndose.science.quantiles import coverage_factor
from drawndose.science.ranges import Range, Valid, hold

VALID: Final[Valid] = {
    "dry_g": Range(1.0, 2000.0, "g", "dry weight"),
    "filled_g": Range(1.0, 2000.0, "g", "weight when filled"),
    "after_g": Range(1.0, 2000.0, "g", "weight after the run"),
    "minutes": Range(0.1, 600.0, "min", "time of the run"),
    "density_g_mL": Range(0.8, 1.3, "g/mL", "density of the solution"),
    "step_g": Range(0.0001, 1.0, "g", "step of the balance"),
    "judged_min": Range(0.0, 5.0, "min", "how far the end may be off"),
}
STEP_G: Final = 0.01
JUDGED_MIN: Final = 0.25
"""How far off, either way, the moment of the first sputter is taken to be judged. A setting of this house, not published."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One run: weights dry, filled and at the first sputter [g], its time [min]; concentration at the start and end, where measured."""

    dry_g: float
    filled_g: float
    after_g: float
    minutes: float
    start: float | None = None
    end: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure out of all runs: its mean, the range for the next run, and in how many runs it was found."""

    mean: float
    band: Band
    runs: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What the runs say. fill, residual in mL, output in mL/min; evaporated: measured, or the band that was given; emitted: of the
    drug, by the whole of those ranges; emitted_by_weight: of the fill, water included, which is always more."""

    fill: Figure
    residual: Figure
    output: Figure
    evaporated: Band
    water_measured: bool
    emitted: Band
    emitted_by_weight: Band

    @property
    def droplets_mL(self) -> Band:
        """What left as droplets, mL: the fall in weight with the water taken out."""
        fell = self.fill.mean - self.residual.mean
        return Band(fell * (1.0 - self.evaporated.high), fell * (1.0 - self.evaporated.low))

    @property
    def rows(self) -> tuple[tuple[str, str], ...]:
        """As a table."""
        return (
            ("runs", str(self.residual.runs)),
            ("fill", f"{_two(self.fill.band)} mL"),
            ("stays in the cup", f"{_two(self.residual.band)} mL"),
            ("its weight falls by", f"{_two(self.output.band)} mL/min"),
            (
                "of it only water",
                f"{_percent(self.evaporated)}{'' if self.water_measured else ', the range of its kind'}",
            ),
            ("left as droplets", f"{_two(self.droplets_mL)} mL"),
            ("of the drug left", _percent(self.emitted)),
            ("the balance alone would say", _percent(self.emitted_by_weight)),
        )

    @property
    def says(self) -> tuple[str, ...]:
        """In sentences."""
        told = {name: getattr(self, name).band for name in ("residual", "output")}
        lines = [
            f"{_two(told['residual'])} mL stays in the cup, and its weight falls by {_two(told['output'])} mL/min as volume.",
            f"{_percent(self.evaporated)} of what left is only water"
            f" ({'measured' if self.water_measured else 'the range of its kind, not measured'}):"
            f" {_two(self.droplets_mL)} mL left as droplets.",
            f"{_percent(self.emitted)} of the drug left; the balance alone would say {_percent(self.emitted_by_weight)}.",
        ]
        if self.residual.runs == 1:
            return (*lines, "One run: the range is that of balance and clock. It says nothing of how far runs differ.")
        return (*lines, f"The ranges are for the next run, with {LEVEL_PERCENT:g} %, by {self.residual.runs} runs.")


def measure(
    runs: Sequence[Run],
    water: Band,
    *,
    density_g_mL: float = 1.0,
    step_g: float = STEP_G,
    judged_min: float = JUDGED_MIN,
) -> Measured:
    """What weighings say of a nebulizer. Refused with every fault of every run.

    Equation:  V0 = (m1 - m0) / rho     Vr = (m2 - m0) / rho     W = (m1 - m2) / (rho T)
               several runs: mean ± t s sqrt(1 + 1/n); one run: mean ± k u of the readings
    Symbols:   m0, m1, m2   dry, filled, after [g]     rho   density [g/mL]     T   time [min]     s   scatter of the runs
               n   how many     water   share that is only water, where no run measured it [1]; ranges in VALID
    Source:    the weighings that studies of nebulizers describe; the interval for a next value is the usual one (from memory).
    Example:   filled with 3.00 g, 1.10 g left after 5.5 min: 1.1 mL stays, 0.35 mL/min.

    >>> found = measure([Run(dry_g=20.0, filled_g=23.0, after_g=21.1, minutes=5.5)], Band(0.14, 0.46))
    >>> round(found.residual.mean, 2), round(found.output.mean, 3), found.residual.runs
    (1.1, 0.345, 1)
    """
    hold(VALID, density_g_mL=density_g_mL, step_g=step_g, judged_min=judged_min)
    gather([fault for place, one in enumerate(runs) for fault in _faults(one, place)] or _none(runs))
    figures = {
        name: _figure([_model(one, formula, density_g_mL, step_g, judged_min) for one in runs])
        for name, formula in FORMULAS.items()
    }
    shares = [_share(one) for one in runs]
    measured = [one for one in shares if one is not None]
    evaporated = Band(min(measured), max(measured)) if measured else water
    fill, residual = figures["fill"], figures["residual"]
    # A range for the next run may reach beyond the fill, and no more than the fill can stay.
    stays = [min(end, fill.mean) for end in (residual.band.low, residual.band.high)]
    ends = [float(emitted_share(fill.mean, left, one)) for left in stays for one in (evaporated.low, evaporated.high)]
    by_weight = [1.0 - left / fill.mean for left in stays]
    return Measured(
        **figures,
        evaporated=evaporated,
        water_measured=bool(measured),
        emitted=Band(min(ends), max(ends)),
        emitted_by_weight=Band(min(by_weight), max(by_weight)),
    )


Formula = Callable[[Mapping[str, Values], float], Values]
FORMULAS: Final[Mapping[str, Formula]] = {
    "fill": lambda read, rho: (read["filled"] - read["dry"]) / rho,
    "residual": lambda read, rho: (read["after"] - read["dry"]) / rho,
    "output": lambda read, rho: (read["filled"] - read["after"]) / rho / read["minutes"],
}


def _none(runs: Sequence[Run]) -> list[Fault]:
    return [] if runs else [Fault(field="runs", rule="no run was weighed", came="nothing", accepted="one run or more")]


def _faults(run: Run, place: int) -> list[Fault]:
    """What no run can be."""
    found = []
    for name in ("dry_g", "filled_g", "after_g", "minutes"):
        value, allowed = getattr(run, name), VALID[name]
        if value not in allowed:
            rule = f"the {allowed.what} lies outside the range"
            came = f"{value:g} {allowed.unit}"
            found.append(Fault(field=f"run {place + 1}, {name}", rule=rule, came=came, accepted=str(allowed)))
    if not found and not run.dry_g < run.after_g <= run.filled_g:
        came = f"{run.dry_g:g}, {run.filled_g:g}, {run.after_g:g} g"
        rule = "it weighs least dry, most when filled, and after the run something between"
        found.append(Fault(field=f"run {place + 1}", rule=rule, came=came, accepted="dry, filled, after"))
    elif not found and run.after_g == run.filled_g:
        found.append(Fault(field=f"run {place + 1}", rule=SPUTTERS, came="no loss", accepted="a run that lost weight"))
    if (run.start is None) is not (run.end is None):
        rule = "a concentration is told at the start and at the end"
        found.append(Fault(field=f"run {place + 1}", rule=rule, came="one of the two", accepted="both, or none"))
    return found


def _model(run: Run, formula: Formula, density_g_mL: float, step_g: float, judged_min: float) -> Model:
    terms = (
        *(
            Term(name=name, group=name, shape=Shape.RECTANGULAR, spread=step_g / 2.0, centre=value)
            for name, value in (("dry", run.dry_g), ("filled", run.filled_g), ("after", run.after_g))
        ),
        Term(name="minutes", group="minutes", shape=Shape.RECTANGULAR, spread=judged_min, centre=run.minutes),
    )
    return Model(terms=terms, answer=lambda read: formula(read, density_g_mL))


def _figure(models: Sequence[Model]) -> Figure:
    """The mean and its range: of the readings for one run, of the runs for several, never narrower than the readings allow, and
    never at 0 or below, which no cup and no output is."""
    budgets = [budget(one, LEVEL_PERCENT) for one in models]
    values, count = [one.value for one in budgets], len(models)
    mean = sum(values) / count
    half = max(one.half_width for one in budgets)
    if count > 1:
        scatter = sqrt(sum((one - mean) ** 2 for one in values) / (count - 1))
        half = max(half, coverage_factor(LEVEL_PERCENT, count - 1) * scatter * sqrt(1.0 + 1.0 / count))
    return Figure(mean=mean, band=Band(max(mean - half, 0.001), mean + half), runs=count)


def _share(run: Run) -> float | None:
    if run.start is None or run.end is None:
        return None
    return float(share_from_ratio(run.start, run.end, (run.filled_g - run.dry_g) / (run.after_g - run.dry_g)))


def _two(band: Band) -> str:
    return " to ".join(dict.fromkeys(f"{end:.2g}" for end in (band.low, band.high)))


def _percent(band: Band) -> str:
    return f"{' to '.join(dict.fromkeys(f'{100 * end:.0f}' for end in (band.low, band.high)))} %"


def as_toml(found: Measured, ident: str, kind: str, source: str, at: str) -> str:
    """The table of a department's file that holds what was found.

    >>> run = Run(dry_g=20.0, filled_g=23.0, after_g=21.1, minutes=5.5)
    >>> print(as_toml(measure([run], Band(0.14, 0.46)), "our-jet", "small-volume jet", "ours-2026", "sheet 9"))
    [[nebulizer]]
    id = "our-jet"
    name = "our-jet"
    kind = "small-volume jet"
    residual = { from = "1.09 mL", to = "1.11 mL", source = "ours-2026", at = "sheet 9", how = "computed" }
    output = { from = "0.328 mL/min", to = "0.363 mL/min", source = "ours-2026", at = "sheet 9", how = "computed" }
    source = "ours-2026"
    at = "sheet 9"
    how = "read"
    """
    where = f'source = {dumps(source)}, at = {dumps(at)}, how = "computed" }}'
    figures = {"residual": (found.residual.band, " mL"), "output": (found.output.band, " mL/min")}
    if found.water_measured:
        figures["evaporated"] = (found.evaporated, "")
    lines = [
        f'{name} = {{ from = "{band.low:.3g}{unit}", to = "{band.high:.3g}{unit}", {where}'
        for name, (band, unit) in figures.items()
    ]
    head = ("[[nebulizer]]", f"id = {dumps(ident)}", f"name = {dumps(ident)}", f"kind = {dumps(kind)}")
    return "\n".join((*head, *lines, f"source = {dumps(source)}", f"at = {dumps(at)}", 'how = "read"'))
