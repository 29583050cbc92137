"""What measures on the bench: calibrated droppers, syringes, graduated cylinders. What it shows, and how far off it may be.

A dropper shows its marks and nothing between; a syringe and a cylinder show their lines. Volumes here are Fractions of a
millilitre, since the search over instruments asks thousands of times.

Sources: ISO 7886-1:1993, Table 1 (tolerance on graduated capacity) and 3.2 (read at the fiducial line), by the testing
laboratory's note named in the data; USP 32 <1101> (calibrated dropper). Values from memory are marked in the data.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import cached_property

from drawndose.quantities import Fault, Refused, show_number
from drawndose.reference.calibration import Calibration
from drawndose.reference.provenance import Origin
from drawndose.reference.tolerance import Tolerance


class Kind(Enum):
    """What sort of measure."""

    DROPPER = "dropper"
    SYRINGE = "syringe"
    CYLINDER = "cylinder"


TIPS = {"luer": "luer lock", "slip": "luer slip", "oral": "oral tip"}
"""The tips of a syringe, as the data spells them and in words. A luer tip takes a needle; an oral one can never reach a vein."""

TAKES_NEEDLE = frozenset({"luer", "slip"})


@dataclass(frozen=True, kw_only=True)
class Instrument:
    """One measure with its scale. capacity, step, numbered and marks are in mL.

    scale_length: from 0 to the capacity, mm. nozzle: what stays in the syringe itself when it is emptied, mL, at most. Each
    has its own origin, and is None where it is not known. only_named: it stands on a bench only when it is named, so that
    a bench of "everything" does not hold every variant of a scale. calibration: what this one was found to deliver.
    """

    id: str
    name: str
    kind: Kind
    tip: str
    capacity: Fraction
    step: Fraction
    numbered: Fraction
    marks: tuple[Fraction, ...]
    tolerance: Tolerance
    origin: Origin
    scale_length: Fraction | None = None
    scale_length_origin: Origin | None = None
    nozzle: Fraction | None = None
    nozzle_origin: Origin | None = None
    only_named: bool = False
    calibration: Calibration | None = None

    @property
    def scale(self) -> tuple[Fraction, Fraction, Fraction]:
        """What two measures of one capacity may differ in: capacity, step, and where the numbers stand."""
        return (self.capacity, self.step, self.numbered)

    def shows(self, volume: Fraction) -> bool:
        """True when the volume has its own mark or line."""
        if not 0 < volume <= self.capacity:
            return False
        return volume in self.marks if self.kind is Kind.DROPPER else (volume / self.step).denominator == 1

    def lines_around(self, volume: Fraction) -> tuple[Fraction, Fraction] | None:
        """The two lines that the volume lies between; None where it has its own line or lies off the scale."""
        if self.shows(volume) or not 0 < volume < self.capacity:
            return None
        if self.kind is Kind.DROPPER:
            below = max((mark for mark in self.marks if mark < volume), default=Fraction(0))
            return (below, min(mark for mark in self.marks if mark > volume))
        steps = volume // self.step
        return (steps * self.step, (steps + 1) * self.step)

    def permissible_error(self, volume: Fraction) -> Fraction:
        """The largest error that the rule permits at this volume, mL, either way. Refused off the scale.

        >>> from drawndose.reference import load
        >>> load().instrument("syringe-1").permissible_error(Fraction(1, 2))
        Fraction(1, 40)
        """
        if not 0 < volume <= self.capacity:
            rule = f"the {self.name} measures more than 0 and at most {show_number(self.capacity)} mL in one fill"
            accepted = f"up to {show_number(self.capacity)} mL"
            raise Refused([Fault(field="volume", rule=rule, came=f"{show_number(volume)} mL", accepted=accepted)])
        if volume < self._half:
            return self._fixed + self.tolerance.below_half_of_volume * volume
        error = self.tolerance.from_half_of_volume * volume
        return error + self._fixed_above if self._fixed_above else error

    @cached_property
    def _half(self) -> Fraction:
        return self.capacity / 2

    @cached_property
    def _fixed(self) -> Fraction:
        """The share of the capacity that is permitted below half of it, mL."""
        return self.tolerance.below_half_of_capacity * self.capacity

    @cached_property
    def _fixed_above(self) -> Fraction:
        """The share of the capacity that is permitted from half of it up, mL."""
        return self.tolerance.from_half_of_capacity * self.capacity

    def smallest_for(self, share: Fraction) -> Fraction:
        """The smallest volume, mL, whose permissible error is at most this share of it; the capacity's rule, not a line.

        >>> from drawndose.reference import load
        >>> load().instrument("syringe-3").smallest_for(Fraction(1, 10))
        Fraction(9, 16)
        """
        found = self.tolerance.smallest(self.capacity, share)
        if found is None:
            raise ValueError(f"{self.name} never measures within {share} of the volume")
        return found


def scales_of(measures: Iterable[Instrument], one: Instrument) -> tuple[Fraction, ...]:
    """The steps, mL, smallest first, of every scale that measures of this kind and capacity have; more than one must be asked."""
    alike = (other for other in measures if other.kind is one.kind and other.capacity == one.capacity)
    return tuple(sorted({other.step for other in alike}))
