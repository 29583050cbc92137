"""One cell of the measuring table worked out in a short line, for people who learn why a syringe is too big."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from drawndose.bench.draws import ml
from drawndose.bench.measuring_table import Fit, MeasuringTable, measuring_table
from drawndose.bench.takes import percent
from drawndose.reference import Instrument


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked:
    """The sum, what it means for the limit, and which instruments of the table are within the limit at this volume."""

    sum: str
    means: str
    better: str
    tint: str


def worked_cell(one: Instrument, volume: Fraction, table: MeasuringTable) -> Worked:
    """The cell of this instrument and volume; the volume need not stand in the table."""
    name = one.name.partition(",")[0]
    asked = measuring_table((one, *(row.instrument for row in table.rows)), limit=table.limit, volumes=(volume,))
    cell, *others = (row.cells[0] for row in asked.rows)
    fitting = [
        row.instrument.name.partition(",")[0]
        for row, other in zip(table.rows, others, strict=True)
        if other.fit is Fit.ACCEPTABLE
    ]
    better = f"Acceptable for {ml(volume)}: {', '.join(fitting) or 'no instrument of the table'}."
    if cell.fit is Fit.BETWEEN and cell.share is None:
        says = f"{name} at {ml(volume)}: its rule holds at its marks only"
        return Worked(
            sum=says, means=f"Between lines: {_no_line(one, volume)}.", better=better, tint=cell.fit.name.lower()
        )
    if cell.share is None:
        says = f"{name} at {ml(volume)}: it holds {ml(one.capacity)}"
        return Worked(
            sum=says, means="Not measurable: the volume does not fit on it in one fill.", better=better, tint="not"
        )
    error = one.permissible_error(volume)
    says = f"{name} at {ml(volume)}: {_terms(one, volume)} {_equals(ml(error))}, {percent(cell.share)} of {ml(volume)}"
    return Worked(
        sum=says,
        means=_means(one, volume, cell.fit, cell.share, table.limit),
        better=better,
        tint=cell.fit.name.lower(),
    )


def _terms(one: Instrument, volume: Fraction) -> str:
    rule = one.tolerance
    if volume >= one.capacity / 2:
        return f"{percent(rule.from_half_of_volume)} of {ml(volume)}"
    of_volume = f"{percent(rule.below_half_of_volume)} of {ml(volume)}"
    if not rule.below_half_of_capacity:
        return of_volume
    return f"{percent(rule.below_half_of_capacity)} of {ml(one.capacity)} + {of_volume}"


def _equals(text: str) -> str:
    return f"is {text}" if text.startswith("about") else f"= {text}"


def _means(one: Instrument, volume: Fraction, fit: Fit, share: Fraction, limit: Fraction) -> str:
    if fit is Fit.ACCEPTABLE:
        return f"Acceptable: within the limit of {percent(limit)}."
    if fit is Fit.CAUTION:
        return f"Caution: over the limit of {percent(limit)}, within twice the limit."
    if fit is Fit.NOT:
        return f"Not measurable: more than twice the limit of {percent(limit)}."
    within = "within the limit" if share <= limit else "within twice the limit"
    return f"Between lines: the error would be {within}, but {_no_line(one, volume)}."


def _no_line(one: Instrument, volume: Fraction) -> str:
    around = one.lines_around(volume)
    lines = f"{ml(around[0]) if around[0] else '0'} and {ml(around[1])}" if around else "two lines"
    return f"{ml(volume)} lies between {lines} and has no line of its own"
