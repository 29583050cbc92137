"""One volume on one instrument: the mark to read, or the two lines around it; how far off it may be as mL, percent and dose.

The reading itself: to the nearest line a scale is misread by half a step at most, estimated to half a line by a quarter; a
volume between two marks is read twice. Exact; what the terms together come to is a budget, and not worked out here.

Source: JCGM 100:2008, F.2.2.1 (half of the step; clause number from memory); half a line is derived from it.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from drawndose.bench.draws import line_words, ml
from drawndose.quantities import Fault, Quantity, gather, show_number
from drawndose.reference import Instrument, Kind

LIMITS = (Fraction(5, 100), Fraction(10, 100))
"""The limits for which the smallest volume is told."""

STEPS = {"nearest line": Fraction(1, 2), "estimated half line": Fraction(1, 4)}
"""How far off one reading can be, as a share of the step."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line: where to read it, how far it is from the volume asked for (signed share), and what the rule permits there.

    gives and error_amount: the dose on this line, and the error as an amount of it; None where no strength was said.
    """

    volume: Fraction
    reading: str
    deviation: Fraction
    error: Fraction
    gives: Quantity | None
    error_amount: Quantity | None

    @property
    def share(self) -> Fraction:
        """The permissible error as a share of this volume."""
        return self.error / self.volume


@dataclass(frozen=True, slots=True, kw_only=True)
class Misreading:
    """How far off a reading can be, mL: how the scale is read, and whether the volume is one reading or two."""

    how: str
    readings: int
    at_most: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class OneVolume:
    """A volume on an instrument: one line, or the two around it; never a rounded one.

    smallest: for each limit the smallest volume, mL, that the instrument may measure; None where it never is within it.
    """

    instrument: Instrument
    asked: Fraction
    lines: tuple[Line, ...]
    misreadings: tuple[Misreading, ...]
    smallest: tuple[tuple[Fraction, Fraction | None], ...]

    @property
    def on_a_line(self) -> bool:
        """True when the volume has its own line."""
        return self.lines[0].volume == self.asked


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """A volume given between two marks. No rule speaks of a difference: error is both marks' errors together, mL."""

    start: Fraction
    end: Fraction
    error: Fraction
    says: str


def one_volume(volume: Fraction, instrument: Instrument, per_ml: Quantity | None = None) -> OneVolume:
    """The volume, mL, on this instrument. per_ml: what 1 mL holds. Refused off the scale.

    >>> from drawndose.reference import load
    >>> found = one_volume(Fraction(35, 100), load().instrument("syringe-3"), Quantity.of_text(5, "mg/mL"))
    >>> [(str(line.volume), str(line.gives.value), str(line.deviation)) for line in found.lines]
    [('3/10', '3/2', '-1/7'), ('2/5', '2', '1/7')]
    """
    instrument.permissible_error(volume)  # refuses what is off the scale
    around = instrument.lines_around(volume) or (volume,)
    return OneVolume(
        instrument=instrument,
        asked=volume,
        lines=tuple(_line(line, volume, instrument, per_ml) for line in around if line),
        misreadings=misreadings(instrument),
        smallest=tuple((limit, instrument.tolerance.smallest(instrument.capacity, limit)) for limit in LIMITS),
    )


def _line(line: Fraction, asked: Fraction, instrument: Instrument, per_ml: Quantity | None) -> Line:
    error = instrument.permissible_error(line)
    return Line(
        volume=line,
        reading=line_words(instrument, line),
        deviation=(line - asked) / asked,
        error=error,
        gives=_amount(line, per_ml),
        error_amount=_amount(error, per_ml),
    )


def _amount(volume: Fraction, per_ml: Quantity | None) -> Quantity | None:
    if per_ml is None:
        return None
    return per_ml * Quantity.of_text(volume, "mL")


def misreadings(instrument: Instrument) -> tuple[Misreading, ...]:
    """How far off one reading and a difference of two can be; none for a dropper, whose limit holds its reading."""
    if instrument.kind is Kind.DROPPER:
        return ()
    return tuple(
        Misreading(how=how, readings=times, at_most=share * instrument.step * times)
        for times in (1, 2)
        for how, share in STEPS.items()
    )


def by_difference(start: Fraction, volume: Fraction, instrument: Instrument) -> Difference:
    """The volume given from the mark at `start` on. Refused, with every fault, where a mark has no line or is off the scale."""
    end = start - volume
    faults = [_no_line(field, mark, instrument) for field, mark in (("from", start), ("volume", end))
              if mark > 0 and not instrument.shows(mark)]  # fmt: skip
    if not 0 <= end < start:
        rule = "a difference is more than nothing, and at most what stands at its first mark"
        faults.append(Fault(field="volume", rule=rule, came=show_number(abs(volume)), accepted=f"up to {ml(start)}"))
    gather(faults)
    error = sum((instrument.permissible_error(mark) for mark in (start, end) if mark), Fraction(0))
    stop = line_words(instrument, end) if end else "the stop"
    says = f"Set {line_words(instrument, start)}; then give until {stop}."
    return Difference(start=start, end=end, error=error, says=says)


def _no_line(field: str, mark: Fraction, instrument: Instrument) -> Fault:
    around = instrument.lines_around(mark)
    near = " or ".join(ml(line) if line else "0 mL" for line in around or ()) or f"up to {ml(instrument.capacity)}"
    return Fault(field=field, rule=f"the {instrument.name} has no line there", came=ml(mark), accepted=near)
