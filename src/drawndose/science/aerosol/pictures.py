"""An outcome as pictures, each with a name, words and a table that say the same: the charge in parts, the cup over time, regions,
what matters most, two set-ups side by side. SVG from the house's own drawing parts; no picture needs its colours.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from drawndose.bench.drawing import Figure
from drawndose.science.aerosol.bands import Band, minutes_words, range_words, share_words
from drawndose.science.aerosol.charts import Row, bands_chart, bars_chart, parts_chart, time_chart
from drawndose.science.aerosol.cup import concentration_rise, treatment_time, volume_after
from drawndose.science.aerosol.outcome import ASKED, BALANCE, INPUTS, REGION_STEP, SETTLED, Outcome
from drawndose.science.aerosol.trials import draw

WORTH_SHOWING: Final = 0.01
"""An input that explains less of the spread is left out of the picture: trials alone give it so much."""

PLACES, COURSES = 41, 4000


def pictures(found: Outcome, prefix: str = "aerosol") -> tuple[Figure, ...]:
    """Every picture of one outcome. prefix: makes the ids of several outcomes on one page differ."""
    owing = [name for name in ASKED if found.owes.get(name)]
    return (
        balance_picture(found, f"{prefix}-balance"),
        course_picture(found, f"{prefix}-course"),
        *([] if found.setup.no_regions else [regions_picture(found, f"{prefix}-regions")]),
        *(owes_picture(found, name, f"{prefix}-owes-{name}") for name in owing),
    )


def balance_picture(found: Outcome, ident: str) -> Figure:
    """The charge as one bar: its parts by their means, which add to all of it."""
    bound = " What is breathed in, and all after it, is the most that can be reached." if found.upper_bound else ""
    rows = tuple((words, _about(name, share)) for name, words, share in found.balance)
    return Figure(
        ident=ident,
        kind="mass balance",
        name=f"Where the drug goes: {found.setup.nebulizer.name}, {found.setup.fill.told('mL')}.",
        words=(
            f"The whole bar is the charge of the cup; its parts are means of the trials and add to all of it.{bound}",
        ),
        rows=rows,
        svg=parts_chart(
            ident,
            [(f"{words}, {told}", share) for (words, told), (_, _, share) in zip(rows, found.balance, strict=True)],
        ),
    )


def course(found: Outcome) -> tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...], tuple[float, ...]]:
    """Minutes, and at each the low end, the middle and the high end of how many times as concentrated the cup is.

    By the minutes that it runs; from the first sputter on a cup is drawn as it then is.
    """
    setup = found.setup
    drawn = draw(setup, COURSES, np.random.default_rng(found.seed))
    fill, output = drawn["fill"], drawn["output"]
    residual = np.minimum(drawn["residual"], fill)
    last = float(np.percentile(treatment_time(fill, residual, output), 97.5))
    minutes = np.linspace(0.0, min(last, setup.stop or last), PLACES)
    ends = []
    for one in minutes:
        left = volume_after(fill, residual, output, float(one))
        ends.append(np.percentile(concentration_rise(fill, left, drawn["evaporated"]), [2.5, 50.0, 97.5]))
    low, middle, high = (tuple(float(one[place]) for one in ends) for place in range(3))
    return tuple(float(one) for one in minutes), low, middle, high


def course_picture(found: Outcome, ident: str) -> Figure:
    """How concentrated the cup becomes while it runs."""
    minutes, low, middle, high = course(found)
    places = [round((PLACES - 1) * quarter / 4) for quarter in range(5)]
    rows = tuple((Band.at(round(minutes[at], 1)).told("min"), _times(low[at], high[at])) for at in places)
    return Figure(
        ident=ident,
        kind="concentration over time",
        name=f"Concentration in the cup: {found.setup.nebulizer.name}, {found.setup.fill.told('mL')}.",
        words=(
            "How many times as concentrated as the fill, by the minutes that it runs: the band of the trials and its middle.",
        ),
        rows=rows,
        svg=time_chart(ident, minutes, low, middle, high, "times"),
    )


def _times(low: float, high: float) -> str:
    """How many times as concentrated, no finer than a tenth."""
    return "as filled" if high < 1.005 else f"{range_words(max(low, 1.0), high, 0.1)} times"


def regions_picture(found: Outcome, ident: str) -> Figure:
    """Where what is breathed in settles, as shares of the charge."""
    parts = [(words, found.bands[name]) for name, words in BALANCE[2:]]
    rows = tuple((words, found.share(name)) for name, words in BALANCE[2:])
    return Figure(
        ident=ident,
        kind="regions",
        name=f"Where it settles: {found.setup.nebulizer.name}, {found.setup.breath.name}.",
        words=(
            f"Shares of the charge, in steps of {REGION_STEP:g} %: a healthy adult's model, not a measurement. The upright line is the middle.",
        ),
        rows=rows,
        svg=bands_chart(
            ident,
            [
                Row(
                    label=f"{words}: {share_words(one.low, one.high, step_percent=REGION_STEP)}",
                    low=100 * one.low,
                    high=100 * one.high,
                    mark=100 * one.middle,
                )
                for words, one in parts
            ],
            "%",
        ),
    )


def owes_picture(found: Outcome, name: str, ident: str) -> Figure:
    """Which input matters most for one answer."""
    owed = [one for one in found.owes[name] if one.share >= WORTH_SHOWING] or list(found.owes[name][:1])
    rows = tuple((INPUTS[one.name], f"{100 * one.share:.0f} %") for one in owed)
    return Figure(
        ident=ident,
        kind="what matters most",
        name=f"What {ASKED[name].removeprefix('what ')} owes to what.",
        words=(
            f"How much of the spread of {ASKED[name]} would go if one input were known. Inputs that go together share what they explain.",
        ),
        rows=rows,
        svg=bars_chart(ident, [(f"{label}, {told}", one.share) for (label, told), one in zip(rows, owed, strict=True)]),
    )


def beside_picture(first: Outcome, second: Outcome, ident: str) -> Figure:
    """Two set-ups on one axis: what comes out, is breathed in, settles in the lung, stays."""
    names = [("emitted", "comes out"), ("inhaled", "breathed in"), ("lung", "lung in all"), ("kept", "left in the cup")]
    both = [(name, words) for name, words in names if name in first.bands and name in second.bands]
    rows, drawn = [], []
    for name, words in both:
        for place, one in ((1, first), (2, second)):
            band = one.bands[name]
            rows.append((f"{words}, {place}", one.share(name)))
            text = share_words(band.low, band.high, step_percent=REGION_STEP if name in SETTLED else 1.0)
            drawn.append(
                Row(
                    label=f"{words}, {place}: {text}",
                    low=100 * band.low,
                    high=100 * band.high,
                    mark=100 * band.middle,
                )
            )
    told = [
        f"{place}: {one.setup.nebulizer.name}, {one.setup.fill.told('mL')}, {one.minutes}"
        for place, one in ((1, first), (2, second))
    ]
    return Figure(
        ident=ident,
        kind="side by side",
        name=f"Two set-ups side by side. {'. '.join(told)}.",
        words=("Shares of the charge on one axis; the upright line is the middle of the trials.",),
        rows=(("time, 1", _time(first)), ("time, 2", _time(second)), *rows),
        svg=bands_chart(ident, drawn, "%", 100.0),
    )


def _about(name: str, share: float) -> str:
    """A mean share, no finer than it is worth: regions in steps of 5."""
    if name not in SETTLED:
        return f"about {100 * share:.0f} %"
    whole = REGION_STEP * round(100 * share / REGION_STEP)
    return f"about {whole:g} %" if whole else f"under {REGION_STEP:g} %"


def _time(found: Outcome) -> str:
    return minutes_words(found.bands["minutes"].low, found.bands["minutes"].high)
