"""Which instrument may measure which volume: acceptable, caution or not measurable, for a chosen limit. Exact.

For deciding what to stock and for teaching why a 3 mL syringe is no instrument for 0.1 mL. The limit is a share of the
volume; the permissible error comes from each instrument's own rule (see `reference.instrument`).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from drawndose.bench.draws import too_low_in_cylinder
from drawndose.bench.takes import percent
from drawndose.quantities import Fault, Refused
from drawndose.reference import Instrument, Kind

_HUNDREDTHS = (1, 2, 5, 10, 20, 25, 30, 40, 50, 75, 100, 125, 150, 200, 250, 300, 400, 500, 600, 800, 1000, 1500, 2000, 3000,
               4000, 5000, 6000)  # fmt: skip
VOLUMES = tuple(Fraction(hundredths, 100) for hundredths in _HUNDREDTHS)
"""Volumes, mL, of the shipped table: what nebulizer doses and their diluents ask for."""


class Fit(Enum):
    """How an instrument fits a volume, in words so that no colour has to say it."""

    ACCEPTABLE = "acceptable"
    CAUTION = "caution"
    BETWEEN = "between lines"
    NOT = "not measurable"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One volume on one instrument. share: permissible error as a share of the volume.

    None where the volume does not fit on it (NOT), and where no rule speaks: a dropper beside its marks (BETWEEN).
    """

    fit: Fit
    share: Fraction | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One instrument: the smallest volume, mL, within the limit (None where it never is), and a cell for each volume."""

    instrument: Instrument
    smallest: Fraction | None
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuringTable:
    """The table: the limit, its volumes in mL, and a row for each instrument."""

    limit: Fraction
    volumes: tuple[Fraction, ...]
    rows: tuple[Row, ...]


def measuring_table(
    instruments: Iterable[Instrument], *, limit: Fraction, volumes: Iterable[Fraction] = VOLUMES
) -> MeasuringTable:
    """The table for a limit: acceptable up to it, caution up to twice it, beyond that not measurable.

    A volume that has no line is BETWEEN where its error would do; on a dropper always, for its rule knows only its marks.
    Under a fifth of its capacity a graduated cylinder is a CAUTION. Refused when the limit is not between 0 and 1.
    """
    if not 0 < limit <= 1:
        raise Refused(
            [Fault(field="limit", rule="the limit is a share of the volume", came=percent(limit), accepted="5 %, 10 %")]
        )
    columns = tuple(volumes)
    rows = tuple(
        Row(
            instrument=one,
            smallest=one.tolerance.smallest(one.capacity, limit),
            cells=tuple(_cell(one, volume, limit) for volume in columns),
        )
        for one in instruments
    )
    return MeasuringTable(limit=limit, volumes=columns, rows=rows)


def _cell(instrument: Instrument, volume: Fraction, limit: Fraction) -> Cell:
    if not 0 < volume <= instrument.capacity:
        return Cell(fit=Fit.NOT, share=None)
    if instrument.kind is Kind.DROPPER and not instrument.shows(volume):
        return Cell(fit=Fit.BETWEEN, share=None)
    share = instrument.permissible_error(volume) / volume
    if share > 2 * limit:
        return Cell(fit=Fit.NOT, share=share)
    if not instrument.shows(volume):
        return Cell(fit=Fit.BETWEEN, share=share)
    within = share <= limit and not too_low_in_cylinder(instrument, volume)
    return Cell(fit=Fit.ACCEPTABLE if within else Fit.CAUTION, share=share)
