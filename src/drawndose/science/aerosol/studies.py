"""Published figures held against the ranges that we compute for the same set-up: inside, partly, outside, or no check at all.

A figure that one of our own ranges was made from proves nothing and says so. What a text does not say of its set-up is filled
with a range, which widens ours; that is said too.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from enum import Enum
from typing import Final

import numpy as np

from drawndose.reference import load
from drawndose.reference.aerosol import Side, Study, Who
from drawndose.science.aerosol import breathing, pump_fed
from drawndose.science.aerosol.bands import Band, Found, found
from drawndose.science.aerosol.boxes import read_setup
from drawndose.science.aerosol.cup import emission_rate, released_share
from drawndose.science.aerosol.droplets import share_below
from drawndose.science.aerosol.setup import Breath
from drawndose.science.aerosol.task_group import settling
from drawndose.science.aerosol.trials import PERSONS, SEED, Tried, try_setup
from drawndose.science.budget import Values

TRIALS: Final = 20_000


class Stands(Enum):
    """How a published figure stands to our range."""

    INSIDE = "inside"
    PARTLY = "partly"
    OUTSIDE = "outside"
    FITTED = "no check"


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """One study against our range. ours: in the unit of the measure, shares as percent."""

    study: Study
    unit: str
    low: float
    value: float
    high: float
    ours: Found
    stands: Stands


def hold_studies(seed: int = SEED) -> tuple[Held, ...]:
    """Every published study against our range, in the order of the file."""
    return tuple(hold_study(one, seed) for one in load().aerosol.studies.values())


def hold_study(study: Study, seed: int = SEED) -> Held:
    """One study against our range. KeyError for a measure that is not known."""
    measure, unit = MEASURES[study.measure]
    scale = 100.0 if unit == "%" else 1.0
    values = scale * measure(try_setup(read_setup(study.setup), trials=TRIALS, seed=seed))
    low, value, high = (scale * float(one) for one in (study.low, study.value, study.high))
    ours = found(values)
    return Held(
        study=study,
        unit=unit,
        low=low,
        value=value,
        high=high,
        ours=ours,
        stands=_stands(study, low, value, high, ours),
    )


def _stands(study: Study, low: float, value: float, high: float, ours: Found) -> Stands:
    """Inside: the figure itself lies in our range. Partly: only some of its own spread does."""
    if study.fitted:
        return Stands.FITTED
    if study.side is Side.AT_MOST:
        return Stands.INSIDE if ours.high <= value else Stands.PARTLY if ours.low <= value else Stands.OUTSIDE
    if study.side is Side.AT_LEAST:
        return Stands.INSIDE if ours.low >= value else Stands.PARTLY if ours.high >= value else Stands.OUTSIDE
    if study.measure in UPPER_BOUNDS:
        return Stands.INSIDE if high <= ours.high else Stands.OUTSIDE
    if ours.low <= value <= ours.high:
        return Stands.INSIDE
    return Stands.PARTLY if low <= ours.high and high >= ours.low else Stands.OUTSIDE


UPPER_BOUNDS: Final = frozenset({"child over adult"})
"""Measures of which our figure is only the most that can be reached."""

Measure = Callable[[Tried], Values]


def _named(name: str) -> Measure:
    return lambda tried: tried.answers[name]


def _released(tried: Tried) -> Values:
    return np.asarray(released_share(tried.inputs["fill"], np.minimum(tried.inputs["residual"], tried.inputs["fill"])))


def _small(part: str) -> Measure:
    return lambda tried: tried.answers[part] * tried.answers["small"]


def _middling(tried: Tried) -> Values:
    """What leaves in droplets of 1 to 5 micrometres."""
    tiny = share_below(1.0, tried.inputs["mmad_um"], tried.inputs["gsd"])
    return np.asarray(tried.answers["emitted"] * (tried.answers["small"] - tiny))


def _drug_an_hour(tried: Tried) -> Values:
    """Drug that leaves in the first hour's first minutes, of 1 mg per mL."""
    return np.asarray(60.0 * emission_rate(1.0, tried.inputs["output"], tried.inputs["evaporated"]))


def _fed(tried: Tried) -> Values:
    """Of what is fed, what leaves by the balance of mass: all of it."""
    return np.full(tried.trials, float(pump_fed.steady_rate(1.0, 10.0)) / 10.0)


ADULT = Breath(name="", who=Who.ADULT, tidal=Band.at(500.0), rate=Band.at(20.0), duty=Band.at(0.40))
CHILD = replace(ADULT, who=Who.CHILD, tidal=Band.at(100.0), rate=Band.at(35.0))
"""The two breaths of the study with a mask."""


def _child_over_adult(tried: Tried) -> Values:
    flow = tried.inputs["flow"]

    def taken(one: Breath) -> Values:
        return np.asarray(breathing.inhaled_of_sine(one.tidal.low, one.rate.low, one.duty.low, flow))

    return taken(CHILD) / taken(ADULT)


def _one_size(tried: Tried) -> Values:
    """All that settles of droplets of one size, breathed in by mouth, with persons as different as they are."""
    drawn = tried.inputs
    settled = settling(
        drawn["mmad_um"],
        drawn["tidal"],
        drawn["tidal"] * drawn["rate"] / 60.0 / drawn["duty"],
        by_mouth=True,
        mouth_form=drawn["mouth_form"],
    )
    factor = PERSONS ** (2.0 * drawn["persons_lung"] - 1.0)
    return np.asarray(1.0 - (1.0 - settled.total) ** factor)


MEASURES: Final[Mapping[str, tuple[Measure, str]]] = {
    "released": (_released, "%"),
    "emitted": (_named("emitted"), "%"),
    "inhaled": (_named("inhaled"), "%"),
    "lung": (_named("lung"), "%"),
    "throat": (_named("throat"), "%"),
    "minutes": (_named("minutes"), "min"),
    "rise": (_named("rise"), "times"),
    "evaporated": (lambda tried: tried.inputs["evaporated"], "%"),
    "lung of inhaled": (_named("lung_of_inhaled"), "%"),
    "throat of inhaled": (_named("throat_of_inhaled"), "%"),
    "exhaled of inhaled": (_named("exhaled_of_inhaled"), "%"),
    "small emitted": (_small("emitted"), "%"),
    "small of charge": (_small("inhaled"), "%"),
    "small of emitted": (lambda tried: _small("inhaled")(tried) / tried.answers["emitted"], "%"),
    "middling of charge": (_middling, "%"),
    "output an hour": (lambda tried: 60.0 * tried.inputs["output"], "mL/h"),
    "drug an hour": (_drug_an_hour, "mg/h"),
    "fed": (_fed, "%"),
    "child over adult": (_child_over_adult, "times"),
    "total of one size": (_one_size, "%"),
}
"""What is measured, out of the trials, with its unit; a share is told as percent."""
