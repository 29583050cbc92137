"""Weighings of a nebulizer as they are typed: "dry:filled:after:minutes" for each run, with boxes beside them. Every fault at once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import partial
from typing import Final

from drawndose.quantities import Fault, Manner, Refused, read_number
from drawndose.reference import Nebulizer
from drawndose.science.aerosol.bands import Band
from drawndose.science.aerosol.boxes import find
from drawndose.science.aerosol.exact_boxes import ExactBoxes
from drawndose.science.aerosol.measured import JUDGED_MIN, STEP_G, Measured, Run, measure

BOXES: Final = {
    "kind": "which kind it is, by its id: jet",
    "step": "of the balance: 0.01 g",
    "density": "of the solution in g/mL, a bare number: 1.0",
    "judged": "how far off the first sputter may be told, either way: 0.25 min",
    "water": "the share that is only water, where no run measured it: 20 to 40 %",
}
PARTS: Final = ("dry_g", "filled_g", "after_g", "minutes", "start", "end")


def read_weighings(
    words: Sequence[str], boxes: Mapping[str, str], own: Iterable[Nebulizer] = ()
) -> tuple[Nebulizer, Measured]:
    """The nebulizer's kind, and what the runs say. Refused with every fault.

    words: each "20.00:23.00:21.10:5.5", weights in g and minutes, and with ":282:432" the concentration at start and end.

    >>> kind, found = read_weighings(["20.00:23.00:21.10:5.5", "20.00:23.02:21.05:5.8"], {"kind": "jet"})
    >>> kind.id, round(found.residual.mean, 3), found.residual.runs
    ('jet', 1.075, 2)
    """
    box = ExactBoxes(boxes, BOXES)
    nebulizer = box.take(lambda: find(box.text("kind") or "jet", own))
    step, judged = box.value("step", "g"), box.value("judged", "min")
    water = box.ends("water", "")
    density = box.take(lambda: read_number(box.text("density") or "1", field="density", manner=Manner.READING))
    runs = [made for place, word in enumerate(words) if (made := box.take(partial(_run, word, place))) is not None]
    box.done()
    assert nebulizer is not None  # or its fault would have been raised
    assert density is not None
    found = measure(
        runs,
        Band(float(water[0]), float(water[1])) if water is not None else _water(nebulizer),
        density_g_mL=float(density),
        step_g=STEP_G if step is None else float(step),
        judged_min=JUDGED_MIN if judged is None else float(judged),
    )
    return nebulizer, found


def _water(nebulizer: Nebulizer) -> Band:
    if nebulizer.evaporated is None:
        rule = "the share that is only water is not known for it"
        raise Refused([Fault(field="water", rule=rule, came="nothing", accepted="20 to 40 %")])
    return Band.of_span(nebulizer.evaporated)


def _run(word: str, place: int) -> Run:
    texts = word.split(":")
    if len(texts) not in {4, 6}:
        rule = "a run is dry, filled and after in g, then minutes; start and end of a concentration may follow"
        raise Refused([Fault(field=f"run {place + 1}", rule=rule, came=word[:60], accepted="20.00:23.00:21.10:5.5")])
    faults: list[Fault] = []
    values: list[float] = []
    for name, text in zip(PARTS, texts, strict=False):
        try:
            values.append(float(read_number(text.strip(), field=f"run {place + 1}, {name}", manner=Manner.READING)))
        except Refused as refused:
            faults += refused.faults
    if faults:
        raise Refused(faults)
    dry, filled, after, minutes, *more = values
    start, end = more or (None, None)
    return Run(dry_g=dry, filled_g=filled, after_g=after, minutes=minutes, start=start, end=end)
