"""A strip of the draws against the volume asked for and its tolerance, as SVG, with the words and the table that say the same.

Shape tells the verdict (dot, cross, open diamond), the bar through it the expanded uncertainty; colour tells nothing alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Final

from drawndose.bench.drawing.figure import Figure, group, line, path, rect, svg, text
from drawndose.science.round_words import measured, tally_words
from drawndose.science.rounds import Round
from drawndose.science.sheet import Weighed
from drawndose.science.verdict import Call

WIDTH, HEIGHT = 344, 290
LEFT, RIGHT, TOP, BOTTOM = 98, 8, 16, 262
MEAN: Final = 44
"""What is kept free at the right for the mean."""

APART: Final = Fraction(17)
"""Labels stand at least this far apart, so that a narrow tolerance can still be read."""


def draws_strip(ident: str, found: Round) -> Figure:
    """The strip of one round."""
    sheet = found.sheet
    target, tolerance = sheet.target_mL, sheet.tolerance_mL
    guard = max(one.verdict.guard_mL for one in found.weighed)
    scale = _Scale(found)
    limits = (target - tolerance, target + tolerance)
    inner = tuple(end for end in (limits[0] + guard, limits[1] - guard)) if 0 < guard < tolerance else ()
    xs = _places(len(found.weighed), bool(found.series))
    marks = [_mark(x, one, scale) for x, one in zip(xs, found.weighed, strict=False)]
    picture = svg(
        ident, WIDTH, HEIGHT,
        rect("tolerance-band", LEFT, scale.y(limits[1]), WIDTH - LEFT - RIGHT, scale.y(limits[0]) - scale.y(limits[1])),
        group("tolerance", *(_level("tolerance-edge", end, scale) for end in limits)),
        group("guard", *(_level("guard-edge", end, scale) for end in inner)),
        _level("target-line", target, scale),
        group("labels", *_labels(target, tolerance, scale)),
        group("draws", *marks),
        group("places", *_numbers(xs, len(found.weighed))),
        _mean(found, xs[-1], scale),
        css="strip-of-draws",
    )  # fmt: skip
    count = len(found.weighed)
    return Figure(
        ident=ident,
        kind="strip",
        name=f"{count} draw{'s' if count > 1 else ''} against {_ml(target)}, tolerance {_ml(limits[0])} to {_ml(limits[1])}",
        words=_words(found, bool(inner)),
        rows=_rows(found, guard),
        svg=picture,
    )


class _Scale:
    """From a volume in mL to a height: everything drawn fits, with a little room."""

    def __init__(self, found: Round) -> None:
        sheet = found.sheet
        ends = [sheet.target_mL - sheet.tolerance_mL, sheet.target_mL + sheet.tolerance_mL]
        for one in found.weighed:
            doubt = one.volume.budget.expanded
            ends += [one.volume.mL - doubt, one.volume.mL + doubt]
        room = (max(ends) - min(ends)) * 0.06
        self.low, self.high = min(ends) - room, max(ends) + room

    def y(self, volume_mL: float) -> Fraction:
        """The height, linear, to a hundredth of a pixel."""
        share = (self.high - volume_mL) / (self.high - self.low)
        return Fraction(round((TOP + share * (BOTTOM - TOP)) * 100), 100)


def _places(count: int, mean: bool) -> list[Fraction]:
    """Where the draws stand from left to right, and after them the mean."""
    room = WIDTH - LEFT - RIGHT - (MEAN if mean else 0)
    pitch = Fraction(room, count + 1)
    return [*(LEFT + pitch * place for place in range(1, count + 1)), Fraction(WIDTH - RIGHT - MEAN // 2)]


def _level(css: str, volume: float, scale: _Scale) -> str:
    return line(css, LEFT, scale.y(volume), WIDTH - RIGHT, scale.y(volume), Fraction(repr(volume)))


def _mark(x: Fraction, one: Weighed, scale: _Scale) -> str:
    y, doubt = scale.y(one.volume.mL), one.volume.budget.expanded
    bar = line(
        "doubt", x, scale.y(one.volume.mL + doubt), x, scale.y(one.volume.mL - doubt), Fraction(repr(one.volume.mL))
    )
    return group(f"draw-mark {_CSS[one.verdict.call]}", bar, _shape(one.verdict.call, x, y))


_CSS: Final = {Call.WITHIN: "is-within", Call.OUTSIDE: "is-outside", Call.CANNOT_TELL: "is-open"}


def _shape(call: Call, x: Fraction, y: Fraction) -> str:
    """A dot, a cross, or an open diamond."""
    if call is Call.WITHIN:
        return rect("dot-mark", x - 4, y - 4, 8, 8, 4)
    if call is Call.OUTSIDE:
        return path("cross-mark", "M", x - 5, y - 5, "L", x + 5, y + 5, "M", x + 5, y - 5, "L", x - 5, y + 5)
    return path("diamond-mark", "M", x, y - 6, "L", x + 6, y, "L", x, y + 6, "L", x - 6, y, "Z")


def _labels(target: float, tolerance: float, scale: _Scale) -> Iterable[str]:
    """The three volumes beside their lines, pushed apart where the lines lie close."""
    middle = scale.y(target)
    push = max(APART, middle - scale.y(target + tolerance))
    down = max(APART, scale.y(target - tolerance) - middle)
    heights = ((target + tolerance, middle - push), (target, middle), (target - tolerance, middle + down))
    return [text("numeral", LEFT - 8, y + 5, _ml(volume).replace(" ", "\u00a0"), "end") for volume, y in heights]


def _numbers(xs: Sequence[Fraction], count: int) -> Iterable[str]:
    """The number of each draw, or of every fifth or tenth where they stand close; and the word under the mean."""
    step = 1 if count <= 10 else 5 if count <= 40 else 10 if count <= 100 else 100
    shown = [place for place in range(1, count + 1) if place % step == 0 or place == 1]
    found = [text("place", xs[place - 1], BOTTOM + 18, str(place), "middle") for place in shown]
    return [*found, text("place", LEFT - 8, BOTTOM + 18, "draw", "end")]


def _mean(found: Round, x: Fraction, scale: _Scale) -> str:
    """The mean of the draws with its interval, apart from them."""
    if found.series is None:
        return ""
    low, high = (min(max(end, scale.low), scale.high) for end in found.series.mean_interval)
    y, mean = scale.y(found.series.mean_mL), Fraction(repr(found.series.mean_mL))
    return group(
        "mean-mark",
        line("doubt", x, scale.y(high), x, scale.y(low), mean),
        line("mean-line", x - 9, y, x + 9, y, mean),
        text("place", x, BOTTOM + 18, "mean", "middle"),
    )


def _ml(volume: float) -> str:
    return f"{measured(volume, abs(volume) * 1e-4)} mL"


def _words(found: Round, guarded: bool) -> tuple[str, ...]:
    shapes = {
        Call.WITHIN: "a dot is within",
        Call.OUTSIDE: "a cross is outside",
        Call.CANNOT_TELL: "an open diamond cannot be told",
    }
    calls = {one.verdict.call for one in found.weighed}
    shown = "; ".join(says for call, says in shapes.items() if call in calls)
    ends = (
        " Between the dashed lines a draw is surely within; they lie a guard band inside the limits." if guarded else ""
    )
    mean = " The cross line at the right is the mean with its interval of 95 %." if found.series is not None else ""
    return (
        f"{tally_words(found)[0].upper()}{tally_words(found)[1:]}.",
        f"{shown[0].upper()}{shown[1:]}; the bar through it is the expanded uncertainty.{ends}{mean}",
    )


def _rows(found: Round, guard: float) -> tuple[tuple[str, str], ...]:
    ordered = sorted(enumerate(found.weighed, start=1), key=lambda one: one[1].volume.mL)
    (first, low), (last, high) = ordered[0], ordered[-1]
    rows = [("Guard band", f"{measured(guard, guard)} mL" if guard else "none")]
    if len(ordered) > 1:
        rows.append(("Least", f"{measured(low.volume.mL, low.volume.budget.expanded)} mL, draw {first}"))
        rows.append(("Most", f"{measured(high.volume.mL, high.volume.budget.expanded)} mL, draw {last}"))
    if found.series is not None:
        low_mean, high_mean = found.series.mean_interval
        half = (high_mean - low_mean) / 2
        rows.append(("Mean, 95 %", f"{measured(low_mean, half)} to {measured(high_mean, half)} mL"))
    return tuple(rows)
