"""Where droplets that are breathed in settle, asked for by themselves: the task group's lung beside the five short fits.

One size, or a log-normal spray; by mouth or by nose. Both are for healthy adults. The model's ranges span persons (twofold either way)
and, by mouth, both forms of the mouth's filter; the fits are for still air breathed largely through the nose, and stand there to be compared.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import product
from typing import Final

from drawndose.bench.drawing import Figure
from drawndose.quantities import Manner, read_number
from drawndose.science.aerosol import simple_fits, task_group
from drawndose.science.aerosol.bands import Band, share_words
from drawndose.science.aerosol.charts import Row, bands_chart
from drawndose.science.aerosol.exact_boxes import ExactBoxes
from drawndose.science.aerosol.outcome import REGION_STEP
from drawndose.science.aerosol.simple_fits import Fits
from drawndose.science.aerosol.task_group import Regions
from drawndose.science.aerosol.trials import PERSONS

BOXES: Final = {
    "size": "of the droplets, or their mass median, in micrometres: 3",
    "spread": "geometric standard deviation of a spray: 2; droplets of one size without it",
    "by": "mouth, which it is without it, or nose",
    "tidal": "volume of a breath: 500 mL, which it is without it",
    "seconds": "time in which it is drawn: 2 s, which it is without it",
}
PARTS: Final = (
    ("throat", "nose, mouth and throat"),
    ("airways", "airways"),
    ("alveoli", "deep lung"),
    ("exhaled", "breathed out"),
)


@dataclass(frozen=True, kw_only=True)
class Settled:
    """Shares of what is breathed in, as bands by the names of PARTS; and the fits' shares of the aerosol in the air."""

    told: str
    bands: dict[str, Band]
    fits: Fits

    @property
    def rows(self) -> tuple[tuple[str, str, str], ...]:
        """Region, the model's range, and the fits' figure, both in steps of 5 %."""
        fits = {"throat": self.fits.head, "airways": self.fits.bronchi, "alveoli": self.fits.alveoli}
        return tuple(
            (words, _percent(self.bands[name]), _percent(Band.at(float(fits[name]))) if name in fits else "")
            for name, words in PARTS
        )

    @property
    def says(self) -> tuple[str, ...]:
        """What both are not."""
        return (
            f"{self.told}: a healthy adult's model, not a measurement.",
            *(f"Limit of the model: {one}." for one in task_group.LIMITS),
            *(f"Limit of the short fits: {one}." for one in simple_fits.LIMITS),
        )

    def picture(self, ident: str) -> Figure:
        """The model's ranges, with the fits as points."""
        fits = {"throat": self.fits.head, "airways": self.fits.bronchi, "alveoli": self.fits.alveoli}
        drawn = [
            Row(
                label=f"{words}: {_percent(self.bands[name])}",
                low=100 * self.bands[name].low,
                high=100 * self.bands[name].high,
                point=100 * float(fits[name]) if name in fits else None,
            )
            for name, words in PARTS
        ]
        return Figure(
            ident=ident,
            kind="regions",
            name=f"Where it settles: {self.told}.",
            words=(
                "Shares of what is breathed in. The bar is the model with persons as different as they are; the dot the short fit.",
            ),
            rows=tuple((words, f"{model}; short fit {fit}" if fit else model) for words, model, fit in self.rows),
            svg=bands_chart(ident, drawn, "%", 100.0),
        )


def read_settled(boxes: Mapping[str, str]) -> Settled:
    """Where it settles, out of boxes. Refused with every fault.

    >>> for row in read_settled({"size": "3"}).rows[:3]:
    ...     print(*row, sep=", ")
    nose, mouth and throat, 0 to 15 %, 75 to 80 %
    airways, 5 to 20 %, 5 to 10 %
    deep lung, 15 to 50 %, 5 to 10 %
    """
    box = ExactBoxes(boxes, BOXES)
    size = _number(box, "size", "3")
    spread = _number(box, "spread", "")
    by = box.text("by").lower() or "mouth"
    if by not in {"mouth", "nose"}:
        box.fault("by", "mouth or nose is wanted", by, "mouth")
    tidal = box.value("tidal", "mL") if box.has("tidal") else 500
    seconds = box.value("seconds", "s") if box.has("seconds") else 2
    if seconds is not None and not seconds:
        box.fault("seconds", "a time of more than 0 is needed", box.text("seconds"), "2 s")
    box.done()
    assert size is not None  # or its fault would have been raised
    assert tidal is not None
    assert seconds is not None
    drawn = float(tidal) / float(seconds)
    forms = (0.0, 1.0) if by == "mouth" else (0.0,)
    found = [_regions(size, spread, float(tidal), drawn, by_mouth=by == "mouth", form=form) for form in forms]
    told = f"MMAD {size:g} micrometres, GSD {spread:g}" if spread is not None else f"{size:g} micrometres"
    return Settled(
        told=f"{told}, by {by}, {float(tidal):g} mL in {float(seconds):g} s",
        bands=_of_persons(found),
        fits=simple_fits.simple_fits(size) if spread is None else simple_fits.fits_of_spray(size, spread),
    )


def _number(box: ExactBoxes, name: str, example: str) -> float | None:
    if not box.has(name):
        if example:
            box.fault(name, "it is needed", "", example)
        return None
    value = box.take(lambda: read_number(box.text(name), field=name, manner=Manner.READING))
    return float(value) if value is not None else None


def _regions(size: float, spread: float | None, tidal: float, drawn: float, *, by_mouth: bool, form: float) -> Regions:
    if spread is None:
        return task_group.settling(size, tidal, drawn, by_mouth=by_mouth, mouth_form=form)
    return task_group.settling_of_spray(size, spread, tidal, drawn, by_mouth=by_mouth, mouth_form=form)


def _of_persons(several: list[Regions]) -> dict[str, Band]:
    """The ends over persons and forms; persons as in `trials`: 1 - (1 - share)^factor for throat and for lung."""
    each: dict[str, list[float]] = {name: [] for name, _ in PARTS}
    for one, throat_of, lung_of in product(several, (1 / PERSONS, PERSONS), (1 / PERSONS, PERSONS)):
        lung, passes = float(one.lung), 1.0 - float(one.head)
        throat = 1.0 - passes**throat_of
        kept = lung / passes if lung else 0.0  # of the largest droplets nothing passes the head
        settled = (1.0 - throat) * (1.0 - (1.0 - kept) ** lung_of)
        airways = settled * float(one.airways) / lung if lung else 0.0
        for name, share in (
            ("throat", throat),
            ("airways", airways),
            ("alveoli", settled - airways),
            ("exhaled", 1.0 - throat - settled),
        ):
            each[name].append(share)
    return {name: Band(min(shares), max(shares)) for name, shares in each.items()}


def _percent(band: Band) -> str:
    return share_words(max(band.low, 0.0), min(band.high, 1.0), step_percent=REGION_STEP)
