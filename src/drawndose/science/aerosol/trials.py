"""One set-up tried many times: every input drawn from its range, every card worked on all trials at once.

What physics ties together is drawn once and used wherever it acts: the flow of gas thins the breath, carries the vapour and so
bounds the share that is only water; one breath decides both what is taken in and where it settles. No other tie is assumed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from drawndose.reference import NebulizerKind
from drawndose.science.aerosol import breathing, cup
from drawndose.science.aerosol.bands import Band
from drawndose.science.aerosol.droplets import share_below
from drawndose.science.aerosol.nodes import equal_nodes
from drawndose.science.aerosol.setup import STEADY, Breath, SetUp, Through
from drawndose.science.aerosol.task_group import settling_of_spray
from drawndose.science.aerosol.vapour import vapour_rate
from drawndose.science.budget import Values
from drawndose.science.ranges import Range, Valid, hold

TRIALS: Final = 100_000
SEED: Final = 101
BLOCK: Final = 10_000
"""Trials worked at a time, few enough to stay near the processor."""

VALID: Final[Valid] = {"trials": Range(10_000.0, 1e7, "", "number of trials")}

ROOM_DEGC: Final = 24.0
"""The warmest that a cup driven by gas is taken to be: a room. A setting; the cup is colder, so it bounds the vapour from above."""

PERSONS: Final = 2.0
"""Persons settle up to so many times more or less than the model's (from memory). Applied where the model's shares are small as
a factor, and so that no share ever passes 1: 1 - (1 - share)^factor."""

CHANCES: Final = ("persons_throat", "persons_lung", "mouth_form", "chamber", "dead_share")
"""What is drawn beside the inputs that are numbers: between two bounds, or between persons."""

SMALL_UM: Final = 5.0

Drawn = dict[str, Values]


@dataclass(frozen=True, kw_only=True)
class Tried:
    """The trials of a set-up. inputs: what was drawn, by name. answers: what came of it, as `answer` names them."""

    setup: SetUp
    inputs: Drawn
    answers: Drawn
    trials: int
    seed: int


def try_setup(setup: SetUp, *, trials: int = TRIALS, seed: int = SEED) -> Tried:
    """Draw and work so many trials. The same seed gives the same trials.

    >>> from drawndose.science.aerosol.boxes import read_setup
    >>> tried = try_setup(read_setup(["mesh", "fill=3 mL"]), trials=10_000)
    >>> bool(0.93 < tried.answers["emitted"].mean() < 0.98)
    True
    """
    hold(VALID, trials=trials)
    chance = np.random.default_rng(seed)
    blocks = []
    for start in range(0, trials, BLOCK):
        drawn = draw(setup, min(BLOCK, trials - start), chance)
        blocks.append((drawn, answer(setup, drawn)))
    names, told = blocks[0][0].keys(), blocks[0][1].keys()
    return Tried(
        setup=setup,
        inputs={name: np.concatenate([one[name] for one, _ in blocks]) for name in names},
        answers={name: np.concatenate([one[name] for _, one in blocks]) for name in told},
        trials=trials,
        seed=seed,
    )


def draw(setup: SetUp, count: int, chance: np.random.Generator) -> Drawn:
    """Every input so many times. The share that is only water is drawn last, from what the gas can carry."""
    drawn = {name: band.drawn(chance.random(count)) for name, band in setup.bands.items() if name != "evaporated"}
    drawn |= {name: chance.random(count) for name in CHANCES}
    drawn["evaporated"] = _evaporated(setup, drawn, chance.random(count))
    return drawn


def _evaporated(setup: SetUp, drawn: Mapping[str, Values], chance: Values) -> Values:
    """No more vapour than the gas can carry: e W <= E. So a nebulizer that puts out much has a small share of vapour.

    A figure that was typed or measured stands as it is.
    """
    band = setup.band("evaporated") or Band.at(0.0)
    if "flow" not in drawn or "evaporated" in setup.figures or band.high == 0.0:
        return band.drawn(chance)
    most = np.asarray(vapour_rate(drawn["flow"], ROOM_DEGC)) / drawn["output"]
    low, high = np.minimum(band.low, most), np.minimum(band.high, most)
    return np.asarray(low + chance * (high - low))


def answer(setup: SetUp, drawn: Mapping[str, Values], *, regions: bool = True) -> Drawn:
    """What comes of the inputs: minutes, mL left, rise in concentration, and shares of the charge.

    kept, lost, throat, airways, alveoli and exhaled add to 1; emitted = inhaled + lost. regions: whether to work out where it
    settles, which costs most; of some set-ups it is not known.
    """
    fill, residual, output = drawn["fill"], np.minimum(drawn["residual"], drawn["fill"]), drawn["output"]
    running = np.asarray(cup.treatment_time(fill, residual, output))
    actuated = setup.kind is NebulizerKind.BREATH_ACTUATED
    if setup.stop is not None:
        running = np.minimum(running, setup.stop * (drawn["duty"] if actuated else 1.0))
    left = np.asarray(cup.volume_after(fill, residual, output, running))
    emitted = np.asarray(cup.emitted_share(fill, left, drawn["evaporated"]))
    inhaled = emitted * inhaled_share(setup, drawn)
    found = {
        "minutes": np.asarray(breathing.time_actuated(running, drawn["duty"])) if actuated else running,
        "left_mL": left,
        "rise": np.asarray(cup.concentration_rise(fill, left, drawn["evaporated"])),
        "emitted": emitted,
        "kept": np.asarray(cup.kept_share(fill, left, drawn["evaporated"])),
        "inhaled": inhaled,
        "lost": emitted - inhaled,
        "small": np.asarray(share_below(SMALL_UM, drawn["mmad_um"], drawn["gsd"])),
    }
    return found | ({} if setup.no_regions or not regions else _settled(setup, drawn, inhaled))


def inhaled_share(setup: SetUp, drawn: Mapping[str, Values]) -> Values:
    """Of what leaves the nebulizer, what is breathed in: before any loss on a mask, which is not known."""
    duty = drawn["duty"]
    steady = _of_steady(setup.breath, drawn) if "flow" in drawn else duty
    taken = np.minimum(steady / duty, 1.0)
    if setup.kind is NebulizerKind.BREATH_ACTUATED:
        share = taken
    elif setup.kind is NebulizerKind.BREATH_ENHANCED:
        share = np.asarray(breathing.inhaled_enhanced(duty, drawn["inspiratory_ratio"], taken))
    else:
        assert setup.kind in STEADY
        most = breathing.most_inhaled(drawn["tidal"], drawn["rate"], drawn["flow"]) if "flow" in drawn else 1.0
        share = steady + (drawn["chamber"] * (most - steady) if setup.reservoir else 0.0)
    useful = np.asarray(breathing.least_useful(drawn["dead"], drawn["tidal"]))
    return np.asarray(share * (1.0 - drawn["dead_share"] * (1.0 - useful)))


def _of_steady(breath: Breath, drawn: Mapping[str, Values]) -> Values:
    given = (drawn["tidal"], drawn["rate"], drawn["duty"], drawn["flow"])
    if not breath.heights:
        return np.asarray(breathing.inhaled_of_sine(*given))
    if len(breath.heights) == 1:
        return np.asarray(breathing.inhaled_of_square(*given))
    return np.asarray(breathing.inhaled_of_wave(breath.heights, *given))


def _settled(setup: SetUp, drawn: Mapping[str, Values], inhaled: Values) -> Drawn:
    """Where the inhaled share settles in a healthy adult, with persons as different as they are."""
    regions = settling_of_spray(
        drawn["mmad_um"],
        drawn["gsd"],
        drawn["tidal"],
        drawn["tidal"] * drawn["rate"] / 60.0 / drawn["duty"],
        by_mouth=setup.through is Through.MOUTHPIECE,
        mouth_form=drawn["mouth_form"],
        nodes=equal_nodes(),
    )
    throat = _of_person(np.asarray(regions.head), drawn["persons_throat"])
    passed = 1.0 - throat
    lung = passed * _of_person(np.asarray(regions.lung / (1.0 - regions.head)), drawn["persons_lung"])
    airways = lung * np.asarray(regions.airways / regions.lung)
    settled = {"throat": throat, "airways": airways, "alveoli": lung - airways, "lung": lung, "exhaled": passed - lung}
    of_charge = {name: share * inhaled for name, share in settled.items()}
    return of_charge | {f"{name}_of_inhaled": share for name, share in settled.items()}


def _of_person(share: Values, chance: Values) -> Values:
    """A person's share: twice as much or half as much at the ends, evenly in the logarithm."""
    return np.asarray(1.0 - (1.0 - share) ** (PERSONS ** (2.0 * chance - 1.0)))
