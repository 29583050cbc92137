"""Where the eye stands, and what air is seen: for each drawn volume the two controls of the page and what they show.

Teaching numbers. Nothing here reaches the plan.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from drawndose.bench import drawing
from drawndose.bench.draws import Draw
from drawndose.bench.plans import Plan, Status
from drawndose.bench.takes import Take
from drawndose.department.web.eye_sketch import Sketch, sketch
from drawndose.department.web.shown import drawn_of, source_words
from drawndose.quantities import Fault, Gathering, Manner, Refused, read_number, read_quantity, show_about, show_number
from drawndose.reference import Catalogue, How, Instrument, Kind
from drawndose.science.eye import Sight, air_words, seen, seen_words, sight_of
from drawndose.science.parallax import VALID, bubble_volume
from drawndose.science.words import amount_words

MOST_AIR, AIR_STEP = Fraction(1, 5), Fraction(1, 100)
STEEPEST = int(VALID["tilt_deg"].high)
TILT_ACCEPTED, AIR_ACCEPTED = "20, -20, 20 below", "0.03 mL, or 4 mm across"
_TILT = re.compile(r"(?P<minus>[-−])?\s*(?P<number>[0-9.]+)\s*(?:degrees?|deg)?\s*(?P<way>above|below)?", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asks:
    """A length that the geometry needs: the name of its box, what it asks for, what was typed, what holds while it is empty."""

    name: str
    label: str
    value: str
    hint: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Eye:
    """One drawn volume with its controls. says is what they show now; open tells that something was asked already."""

    ident: str
    tool: str
    tilt: int
    typed: str
    air: str
    most_air: str
    across: str
    lengths: tuple[Asks, ...]
    open: bool
    says: tuple[str, ...] = ()
    lacks: str = ""
    air_says: tuple[str, ...] = ()
    faults: tuple[Fault, ...] = ()
    sketch: Sketch | None = None
    figure: drawing.Figure | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drawn:
    """One drawn volume in its take. toward: -1 for the volume that a first dilution is made up to."""

    ident: str
    draw: Draw
    take: Take
    toward: int

    @property
    def line(self) -> Fraction:
        return self.draw.fills[0]

    @property
    def whole(self) -> Fraction:
        return self.draw.volume if self.take.first_dilution is not None else self.take.volume


def eyes(plan: Plan, asked: Mapping[str, str], book: Catalogue, prefix: str = "") -> dict[str, Eye]:
    """The eye of every drawn volume of a plan that is ready, by the id of its drawing."""
    if plan.status is not Status.READY:
        return {}
    found = {}
    for place, take in enumerate(plan.takes, start=1):
        for ident, _, draw in drawn_of(f"{prefix}{place}", take):
            stock = take.first_dilution
            toward = -1 if stock is not None and draw is stock.total else 1
            found[ident] = _eye(_Drawn(ident=ident, draw=draw, take=take, toward=toward), asked, book)
    return found


def _eye(one: _Drawn, asked: Mapping[str, str], book: Catalogue) -> Eye:
    """Read the controls, then say what they show. What cannot be read is said and shows nothing."""
    gathering = Gathering()
    tool, ident = one.draw.instrument, one.ident
    typed, across = asked.get(f"angle-{ident}", ""), asked.get(f"bubble-{ident}", "")
    tilt = gathering.take(lambda: read_tilt(typed or asked.get(f"tilt-{ident}", "") or "0"))
    air = gathering.take(lambda: read_air(across or asked.get(f"air-{ident}", "") or "0 mL", one.line))
    typed_lengths = {name: asked.get(_box(name, one), "") for name in ("scale", "gap")}
    sight = gathering.take(lambda: _sight(tool, typed_lengths))
    whole_degrees = tilt is not None and tilt == int(tilt)
    made = Eye(
        ident=ident,
        tool=tool.name,
        tilt=round(tilt or 0),
        typed="" if whole_degrees else typed,
        air=_plain(min(air or Fraction(0), _most_air(one.line))),
        most_air=_plain(_most_air(one.line)),
        across=across,
        lengths=_lengths(one, typed_lengths, book),
        open=bool(tilt or air or gathering.faults or any(typed_lengths.values())),
        faults=tuple(gathering.faults),
    )
    if air:
        made = replace(made, air_says=_air_says(one, air), figure=_with_air(one, air))
    return _with_sight(made, one, tilt, sight) if tilt is not None and sight is not None else made


def _with_sight(made: Eye, one: _Drawn, tilt: Fraction, sight: Sight) -> Eye:
    found = seen(one.line, sight, float(tilt))
    drawn = sketch(float(tilt), sight.index, sight.grows)
    if found is None:
        lacks = "There is no number until the lengths that the boxes ask for are measured and typed: the catalogue does not hold them."
        return replace(made, lacks=lacks, sketch=drawn)
    says = [seen_words(found, one.whole, one.toward)]
    if found.off and found.holds > 0:
        says.append(_dose_words(one, one.toward * found.off / float(one.whole)))
    return replace(made, says=tuple(says), sketch=drawn)


def _air_says(one: _Drawn, air: Fraction) -> tuple[str, ...]:
    return (
        air_words(air, one.line, one.whole, one.toward),
        _dose_words(one, -one.toward * float(air / one.whole)),
        "Push it out, and read again.",
    )


def _dose_words(one: _Drawn, share: float) -> str:
    """The dose that would be given, beside the one that is meant."""
    both = (
        f"{amount_words(float(amount.value) * (1.0 + share), amount.unit)} of {amount.of[0][0]} in place of {show_about(amount)}"
        for amount in one.take.amounts
    )
    return f"That is {', and '.join(both)}."


def _with_air(one: _Drawn, air: Fraction) -> drawing.Figure | None:
    """The syringe drawn with the bubble; the other measures are not drawn with air."""
    tool = one.draw.instrument
    if tool.kind is not Kind.SYRINGE:
        return None
    reading = Draw(instrument=tool, asked=one.line, fills=(one.line,)).reading
    return drawing.syringe(f"{one.ident}-air-drawn", tool, one.line, reading, bubble=air)


def read_tilt(text: str) -> Fraction:
    """An angle in degrees, above the mark positive. Refused unless it lies within what the geometry holds for.

    >>> read_tilt("20 below"), read_tilt("-20"), read_tilt("12.5")
    (Fraction(-20, 1), Fraction(-20, 1), Fraction(25, 2))
    """
    parts = _TILT.fullmatch(text.strip())
    if parts is None or (parts["minus"] and parts["way"]):
        rule = "the angle of the eye is a number of degrees"
        raise Refused([Fault(field="angle", rule=rule, came=text[:40], accepted=TILT_ACCEPTED)])
    degrees = read_number(parts["number"], field="angle", manner=Manner.READING)
    if degrees > STEEPEST:
        rule = f"the eye stands at most {STEEPEST} degrees above or below"
        raise Refused([Fault(field="angle", rule=rule, came=text[:40], accepted=TILT_ACCEPTED)])
    return -degrees if parts["minus"] or (parts["way"] or "").lower() == "below" else degrees


def read_air(text: str, line: Fraction) -> Fraction:
    """A bubble in mL, typed as a volume or by its width; a width gives a volume to the thousandth. Refused unless it is
    less than the line and at most 0.2 mL.
    """
    typed = f"{text} mL" if text.replace(".", "").isdecimal() else text
    width = re.fullmatch(r"([0-9.]+)\s*mm(?: across)?", typed.strip())
    if width is not None:
        across = float(read_number(width[1], field="bubble", manner=Manner.READING))
        # Whatever is wider than the formula goes is more than is taken here, and refused below.
        air = Fraction(f"{bubble_volume(min(across, VALID['diameter_mm'].high)):.3f}")
    else:
        quantity = read_quantity(typed, field="bubble", manner=Manner.READING)
        if quantity.dimension != (("volume", 1),):
            rule = "a bubble is a volume, or how wide it is"
            raise Refused([Fault(field="bubble", rule=rule, came=text[:40], accepted=AIR_ACCEPTED)])
        air = quantity.to("mL").value
    if air >= line or air > MOST_AIR:
        rule = "a bubble is less than what is drawn, and at most 0.2 mL here"
        raise Refused([Fault(field="bubble", rule=rule, came=text[:40], accepted=AIR_ACCEPTED)])
    return air


def _most_air(line: Fraction) -> Fraction:
    """How far the control goes: whole steps, less than the line."""
    return min(MOST_AIR, (-(-line // AIR_STEP) - 1) * AIR_STEP)


def _plain(value: Fraction) -> str:
    """A number as a control of a page takes it."""
    return show_number(value).replace(",", "")


def _box(name: str, one: _Drawn) -> str:
    """The box of a length. The instrument is in its name, so that a length never comes to count for another one."""
    return f"{name}-{one.ident}-{one.draw.instrument.id}"


def _sight(tool: Instrument, typed: Mapping[str, str]) -> Sight:
    """What is known of the instrument, with the lengths that were typed in the place of what is known."""
    sight = sight_of(tool)
    gap, scale = _length(typed["gap"], "gap"), _length(typed["scale"], "scale")
    return replace(
        sight, gap_mm=sight.gap_mm if gap is None else gap, scale_mm=sight.scale_mm if scale is None else scale
    )


def _length(text: str, name: str) -> float | None:
    if not text:
        return None
    allowed = VALID[f"{name}_mm"]
    length = float(read_number(text.removesuffix("mm").strip(), field=name, manner=Manner.READING))
    if length not in allowed:
        rule = f"the {allowed.what} lies outside the range"
        raise Refused([Fault(field=name, rule=rule, came=text[:40], accepted=str(allowed))])
    return length


def _lengths(one: _Drawn, typed: Mapping[str, str], book: Catalogue) -> tuple[Asks, ...]:
    tool = one.draw.instrument
    known, syringe = sight_of(tool), tool.kind is Kind.SYRINGE
    scale = "measure it with a ruler"
    if (origin := tool.scale_length_origin) is not None and tool.scale_length is not None:
        from_memory = origin.how is How.MEMORY
        said = f"from memory ({origin.at})" if from_memory else source_words(origin, book).rstrip(".")
        scale = f"empty: {show_number(tool.scale_length)} mm, {said}"
    gap = f"empty: {known.gap_mm:g} mm, a setting" if known.gap_mm is not None else "measure the tube and halve it"
    return (
        Asks(
            name=_box("scale", one),
            label=f"Scale, from 0 to the {show_number(tool.capacity)} mL line, in mm",
            value=typed["scale"],
            hint=scale,
        ),
        Asks(
            name=_box("gap", one),
            label="Thickness of the wall, in mm" if syringe else "Half the width of the tube, in mm",
            value=typed["gap"],
            hint=gap,
        ),
    )
