"""Invented learners and evaluators, each with what they can and how they see. Nobody here exists.

The spread of a drawn volume, its sides and the chances of a right sum are anchored in published figures, most of them of staff;
the chances of a step, a label and of noticing what is wrong are ours, since no study of learners was found.
"""

from __future__ import annotations

from dataclasses import dataclass

from drawndose.lab.chance import Chance
from drawndose.lab.tasks.task import Difficulty

NAMES = (
    *("Ada Alder", "Ben Birch", "Cleo Cedar", "Dov Dogwood", "Ema Elm", "Finn Fir", "Gia Gum", "Hal Hazel", "Ida Ivy"),
    *("Jon Juniper", "Kit Kapok", "Lea Larch", "Max Maple", "Noa Nutmeg", "Otto Oak", "Pia Pine", "Quin Quince"),
    *("Rea Rowan", "Sam Spruce", "Tea Teak", "Uma Umber", "Val Vine", "Wim Willow", "Yara Yew"),
)
EVALUATORS = ("Mona Marsh", "Nils Nook", "Olga Orchard", "Per Pond")

SUM_RIGHT = {Difficulty.PLAIN: 0.89, Difficulty.MIDDLE: 0.70, Difficulty.HARD: 0.50}
"""Plain: 89.2 % of basic dose sums by nursing students were right; all kinds together 52.7 % (863 sums, BMC Nursing,
s12912-022-01085-9). The middle is laid between."""
SPREAD = (0.04, 0.06)
"""Standard deviation of a novice's volume as a share: 2.1 % fits staff (29 of 1767 off by more than 5 %, CMAJ 178(1):42);
a novice's 4 to 6 % is proposed."""
SMALL, SMALL_FACTOR = 0.2, 2.0
"""Below 20 % of the measure's capacity large errors are likelier (Hosp Pharm 2021;56:165-171); that they double is proposed."""
UNDER, OVER = 0.523, 0.42
"""Of 1900 draws by 19 staff 52.3 % were under, 42 % over, 5.7 % on target (PubMed 37806870)."""
DROPPER = 0.05
"""How far one person's dropper is off, as a standard deviation: proposed."""
LOST, LOST_ML = 0.02, 0.07
"""How often what a needle holds is lost, and how much, mL: proposed as a rare large loss."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pupil:
    """An invented learner: chance of a critical and another step, of the label, of noticing; the volume's spread and the dropper's lean."""

    id: str
    name: str
    critical: float
    other: float
    label: float
    notices: float
    spread: float
    lean: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Watcher:
    """An invented evaluator: the chance of overlooking a failure, and of seeing one that was none."""

    id: str
    name: str
    overlooks: float
    invents: float


def pupils(seed: str, count: int) -> tuple[Pupil, ...]:
    """So many learners; beyond the names that there are, names are numbered."""
    made = []
    for place in range(count):
        chance = Chance(seed, "pupil", place)
        ready = chance.share()
        name = NAMES[place % len(NAMES)] + (f" {place // len(NAMES) + 1}" if place >= len(NAMES) else "")
        made.append(
            Pupil(
                id=f"learner-{place + 1:02}",
                name=name,
                critical=0.970 + 0.028 * ready,
                other=0.88 + 0.1 * ready,
                label=0.90 + 0.08 * ready,
                notices=0.75 + 0.2 * ready,
                spread=SPREAD[0] + (SPREAD[1] - SPREAD[0]) * (1.0 - ready),
                lean=chance.normal(0.0, DROPPER),
            )
        )
    return tuple(made)


def watchers() -> tuple[Watcher, ...]:
    """Four evaluators: three alike, and one who overlooks, so that there is something to find."""
    sees = ((0.03, 0.005), (0.05, 0.005), (0.04, 0.01), (0.35, 0.002))
    return tuple(
        Watcher(id=f"evaluator-{place}", name=name, overlooks=overlooks, invents=invents)
        for place, (name, (overlooks, invents)) in enumerate(zip(EVALUATORS, sees, strict=True), start=1)
    )
