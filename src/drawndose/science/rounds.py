"""A round of weighings: every draw judged, and what they show together. Everything or nothing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import fsum

from drawndose.quantities import Fault, Refused, gather
from drawndose.science.series import Series, summarize
from drawndose.science.sheet import Sheet, Weighed, reading_slips, weigh
from drawndose.science.slips import Slip, coarse_slips
from drawndose.science.weighing import Weighing


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """Every draw with the name of its row, what they show together, and the doubts about what is the same for all of them.

    series is None where the draws show no spread; no_series then says why.
    """

    sheet: Sheet
    names: tuple[str, ...]
    weighed: tuple[Weighed, ...]
    doubts: tuple[Slip, ...]
    series: Series | None
    no_series: str = ""

    @property
    def not_in_it(self) -> tuple[str, ...]:
        """What no draw's uncertainty counts, each said once."""
        return tuple(dict.fromkeys(says for one in self.weighed for says in one.volume.not_in_it))


def weigh_round(weighings: Sequence[tuple[str, Weighing]], sheet: Sheet) -> Round:
    """Judge a round. Refused with the faults of the sheet and of all rows, each with the name of its row.

    >>> from drawndose.science.weighing import Balance
    >>> balance = Balance(readability_g=0.0001, repeatability_g=0.0002)
    >>> sheet = Sheet(balance=balance, t_degC=21.0, p_hPa=1010.0, rh_percent=45.0, target_mL=0.5, tolerance_mL=0.025)
    >>> rows = [(f"row {place}", Weighing(without_g=0.0, with_g=mass)) for place, mass in enumerate((0.49, 0.50), start=1)]
    >>> [one.verdict.call.value for one in weigh_round(rows, sheet).weighed]
    ['within', 'within']
    """
    gather(sheet.faults())
    found: list[Weighed] = []
    faults: list[Fault] = []
    for name, weighing in weighings:
        try:
            found.append(weigh(weighing, sheet))
        except Refused as refused:
            faults += named(name, refused.faults)
    gather(faults)
    readings = [reading for _, one in weighings for reading in one.readings_g if reading]
    series, why = _series(found, sheet)
    return Round(
        sheet=sheet,
        names=tuple(name for name, _ in weighings),
        weighed=tuple(found),
        doubts=(*sheet.doubts, *coarse_slips(readings, sheet.balance.readability_g)),
        series=series,
        no_series=why,
    )


def look_over(weighings: Sequence[tuple[str, Weighing]], sheet: Sheet) -> tuple[Fault, ...]:
    """The faults of all rows, as far as they can be seen while the rest of the sheet is not in order."""
    return tuple(
        fault
        for name, weighing in weighings
        for fault in named(name, (slip.fault for slip in reading_slips(weighing, sheet) if slip.sure))
    )


def named(name: str, faults: Iterable[Fault]) -> list[Fault]:
    """Faults of one row, each with the row's name before its field."""
    return [replace(fault, field=f"{name}, {fault.field}") for fault in faults]


def _series(found: Sequence[Weighed], sheet: Sheet) -> tuple[Series | None, str]:
    volumes = [one.volume.mL for one in found]
    if len(volumes) < 2:
        return None, "One draw shows no spread: weigh ten."
    shared = fsum(one.volume.shared_u for one in found) / len(found)
    try:
        return summarize(volumes, target_mL=sheet.target_mL, shared_u_mL=shared), ""
    except Refused:
        return None, "All draws weigh the same: this balance shows no spread between them."
