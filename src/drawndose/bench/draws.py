"""One measured volume out of a container with one instrument: the lines it is read at, and how far off it may be.

A volume that has no line is never rounded here: it comes back as an offer of the two lines around it, with what each
would give. Volumes are Fractions of a millilitre.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from drawndose.bench.policy import Policy
from drawndose.quantities import Quantity, show_about
from drawndose.reference import How, Instrument, Kind, Origin


@dataclass(frozen=True, kw_only=True)
class Draw:
    """A volume measured in one or more fills of one instrument. asked is the exact volume that the dose needs, mL."""

    instrument: Instrument
    asked: Fraction
    fills: tuple[Fraction, ...]

    @cached_property
    def volume(self) -> Fraction:
        """What is measured, mL; unlike `asked` only when a person accepted a line beside it."""
        return sum(self.fills, Fraction(0))

    @cached_property
    def error(self) -> Fraction:
        """Permissible error, mL: the fills' errors added up, since one instrument errs the same way each time."""
        return sum((self.instrument.permissible_error(fill) for fill in self.fills), Fraction(0))

    @property
    def deviation(self) -> Fraction:
        """How far the accepted line is from the volume asked for, as a signed share of it."""
        return (self.volume - self.asked) / self.asked

    @property
    def reading(self) -> str:
        """Where to read, for each fill."""
        return ", then ".join(dict.fromkeys(line_words(self.instrument, fill) for fill in self.fills))


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A volume between two lines of an instrument: the person must choose one, or take another instrument.

    A line that is 0 is not on offer: below the first line, or above what the containers hold.
    """

    instrument: Instrument
    asked: Fraction
    below: Fraction
    above: Fraction

    def deviation(self, line: Fraction) -> Fraction:
        """How far a line is from the volume asked for, as a signed share of it."""
        return (line - self.asked) / self.asked


@dataclass(frozen=True, slots=True)
class NoDraw:
    """Why an instrument cannot measure a volume. The sentence is made only when someone reads it: most never are."""

    words: Callable[[], str]


def draw(volume: Fraction, instrument: Instrument, policy: Policy) -> Draw | Offer | NoDraw:
    """How this instrument measures the volume: a draw, an offer of two lines, or the reason why it cannot."""
    fills, rest = _full_fills(volume, instrument)
    if len(fills) + (rest > 0) > policy.most_fills:
        many = len(fills) + (rest > 0)
        return NoDraw(lambda: f"{ml(volume)} would be {many} fills of it, more than {policy.most_fills}")
    if not rest or instrument.shows(rest):
        return Draw(instrument=instrument, asked=volume, fills=(*fills, *((rest,) if rest else ())))
    if instrument.kind is Kind.DROPPER:
        marks = instrument.marks
        return NoDraw(lambda: f"{ml(volume)} has no mark on it (marks at {', '.join(ml(mark) for mark in marks)})")
    below, above = neighbours(volume, instrument)
    return _chosen(Offer(instrument=instrument, asked=volume, below=below, above=above), policy)


def neighbours(volume: Fraction, instrument: Instrument) -> tuple[Fraction, Fraction]:
    """The lines below and above a volume that has none on this scale, after its full fills; below the first line it is 0."""
    fills, rest = _full_fills(volume, instrument)
    around = instrument.lines_around(rest)
    assert around is not None  # the rest lies inside the scale and not on a line
    done = sum(fills, Fraction(0))
    return done + around[0], done + around[1]


def between_lines(volume: Fraction, instrument: Instrument) -> str:
    """Where a volume lies that has no line: between which two, with what each would change."""
    below, above = neighbours(volume, instrument)
    more = f"{ml(above)} ({_share(above - volume, volume)} more)"
    if not below:
        return f"{ml(volume)} has no line on it: it lies below the first, {more}"
    return f"{ml(volume)} has no line on it: it lies between {ml(below)} ({_share(volume - below, volume)} less) and {more}"


def _share(part: Fraction, whole: Fraction) -> str:
    """A share as percent; "about" when it has no short decimal."""
    return show_about(Quantity.of_text(part * 100 / whole, "%"), 2)


def _full_fills(volume: Fraction, instrument: Instrument) -> tuple[tuple[Fraction, ...], Fraction]:
    """Full fills and the rest: full measures of a scale, the largest marks first of a dropper."""
    if instrument.kind is not Kind.DROPPER:
        count = (volume / instrument.capacity).__ceil__() - 1
        return (instrument.capacity,) * count, volume - instrument.capacity * count
    fills: list[Fraction] = []
    rest = volume
    for mark in reversed(instrument.marks):
        while rest >= mark and len(fills) < 100:
            fills.append(mark)
            rest -= mark
    return tuple(fills), rest


def _chosen(offer: Offer, policy: Policy) -> Draw | Offer | NoDraw:
    """The offer's line that a person or the policy has accepted, as a draw; the offer itself when no one has."""
    near = [line for line in (offer.below, offer.above) if line and abs(offer.deviation(line)) <= policy.offer_within]
    if not near:
        return NoDraw(lambda: f"{between_lines(offer.asked, offer.instrument)}; none is near enough")
    for line in near:
        if line == policy.accepted_line:
            return on_line(offer, line)
    limit = policy.nearest_line_within
    nearest = min(near, key=lambda line: (abs(offer.deviation(line)), -line))
    if limit is not None and abs(offer.deviation(nearest)) <= limit:
        return on_line(offer, nearest)
    below, above = (line if line in near else Fraction(0) for line in (offer.below, offer.above))
    return replace(offer, below=below, above=above)


def on_line(offer: Offer, line: Fraction) -> Draw:
    """The draw that an offered line would be."""
    fills, rest = _full_fills(line, offer.instrument)
    return Draw(instrument=offer.instrument, asked=offer.asked, fills=(*fills, *((rest,) if rest else ())))


def ml(volume: Fraction) -> str:
    """A volume in mL for people: exact, or "about" where it has no short decimal (no line and no mark is such a one)."""
    return show_about(Quantity.of_text(volume, "mL"))


GRADUATE_LEAST = Fraction(1, 5)
"""The least share of a graduated cylinder's capacity that it should measure (newsletter on USP <1176>: about 20 to 25 %).

No setting: tables and cards of instruments tell it without any department, like a permissible error."""
GRADUATES = Origin(
    source="newsletter-usp-1176-graduates", at="least volume, about 20 to 25 % of the capacity", how=How.READ
)

ORDINALS = ("", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")


def too_low_in_cylinder(instrument: Instrument, volume: Fraction) -> bool:
    """True where a graduated cylinder is to measure less than it should."""
    return instrument.kind is Kind.CYLINDER and volume < GRADUATE_LEAST * instrument.capacity


def line_words(instrument: Instrument, volume: Fraction) -> str:
    """Where the volume is read, in words: the numbered line, or how many lines past which one.

    Sources: ISO 7886-1:1993, 3.2 (a syringe is read where the fiducial line of the stopper passes the scale); NIST GMP 3,
    read in a copy (a concave meniscus is read at its lowest point, the eye in its plane).
    """
    if instrument.kind is Kind.DROPPER:
        return f"the lowest point of the curve at the {ml(volume)} mark"
    edge = "the stopper edge nearest the tip" if instrument.kind is Kind.SYRINGE else "the lowest point of the curve"
    numbered = volume // instrument.numbered * instrument.numbered
    lines = (volume - numbered) / instrument.step
    if lines == 0:
        return f"{edge} on the {ml(volume)} line"
    past = ORDINALS[int(lines)] if lines < len(ORDINALS) else f"{lines}th"
    start = ml(numbered) if numbered else "0"
    return f"{edge} on the {ml(volume)} line, the {past} line past {start}"
