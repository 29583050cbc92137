"""The small sums around a fill, each a form of boxes and its answer: a nebulizer weighed, hours of nebulizing, a pump-fed cup, gas, droplets.

One shape for all: boxes by name, and a work that turns them into an answer or is refused with every fault. No dose of a plan is changed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final
from urllib.parse import urlencode

from drawndose.bench.drawing import Figure
from drawndose.bench.findings import Finding
from drawndose.department.work.nebulizers import setting_text
from drawndose.quantities import Fault, Refused, gather
from drawndose.reference import Nebulizer, load
from drawndose.science.aerosol.hours import read_hours, read_pump_fed
from drawndose.science.aerosol.measured import as_toml
from drawndose.science.aerosol.settle import read_settled
from drawndose.science.aerosol.supply import read_supply
from drawndose.science.aerosol.weigh_boxes import read_weighings

Boxes = Mapping[str, str]
Own = tuple[Nebulizer, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What a sum gives: rows of a table, sentences, findings, pictures, and texts to be taken elsewhere with their captions."""

    rows: tuple[tuple[str, str], ...] = ()
    says: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()
    figures: tuple[Figure, ...] = ()
    texts: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sum:
    """One sum. boxes: name, label, example. example: what the page's example fills in. of: the box of a fault whose name differs.

    long: the box of several lines.
    """

    ident: str
    title: str
    why: str
    boxes: tuple[tuple[str, str, str], ...]
    example: Boxes
    work: Callable[[Boxes, Own], Answer]
    of: Boxes = field(default_factory=dict)
    long: str = ""

    def box_of(self, name: str) -> str:
        """The box at which a fault is told; "" where it is of none."""
        known = {box for box, _, _ in self.boxes}
        if name in known:
            return name
        if name.startswith("run"):
            return self.long
        return self.of.get(name, "")

    @property
    def example_query(self) -> str:
        """The example as an address."""
        return urlencode(self.example)


def weigh(boxes: Boxes, own: Own) -> Answer:
    """A department's own nebulizer by weight, with the text for its setting and for a file."""
    runs = [re.sub(r"[\s;:]+", ":", line.strip()) for line in boxes.get("runs", "").splitlines() if line.strip()]
    typed = {name: text for name, text in boxes.items() if name not in {"runs", "name", "at"}}
    nebulizer, found = read_weighings(runs, typed, own)
    name, at = boxes.get("name", "") or "Our nebulizer", boxes.get("at", "") or "sheet and day"
    gather(
        Fault(field=box, rule="it stands in a list and keeps off its signs", came=text, accepted="without , ; : and =")
        for box, text in (("name", name), ("at", at))
        if re.search(r"[,;:=]", text)
    )
    ident = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "our-nebulizer"
    return Answer(
        rows=found.rows,
        says=found.says,
        texts=(
            ("For the policy of this department: nebulizers that were measured here", setting_text(found, name, nebulizer.id, at)),
            ("For a file of your own", as_toml(found, ident, nebulizer.kind.value, "ours", at)),
        ),
    )  # fmt: skip


def hours(boxes: Boxes, own: Own) -> Answer:
    """Continuous nebulizing: recipe, true dose, hours left, preservative."""
    del own
    found = read_hours(boxes)
    return Answer(rows=found.rows, says=found.says, findings=found.findings)


def pump(boxes: Boxes, own: Own) -> Answer:
    """A pump-fed cup: what it comes to, and when."""
    del own
    found = read_pump_fed(boxes)
    return Answer(rows=found.rows, findings=found.findings)


def gas(boxes: Boxes, own: Own) -> Answer:
    """How long a cylinder lasts, what a job needs, heliox, sources, air with oxygen."""
    found = read_supply(boxes, own)
    return Answer(rows=found.rows, findings=found.findings)


def settle(boxes: Boxes, own: Own) -> Answer:
    """Where droplets settle in a healthy adult."""
    del own
    found = read_settled(boxes)
    rows = tuple((name, f"{model}; short fit {fit}" if fit else model) for name, model, fit in found.rows)
    return Answer(rows=rows, says=found.says, figures=(found.picture("settles"),))


SUMS: Final = (
    Sum(
        ident="weigh",
        title="Your own nebulizer, weighed",
        why="Weigh it dry, filled, and at the first sputter; five runs tell more than one. The balance tells what left, drug and water together; the water is taken out.",
        boxes=(
            ("kind", "Which kind it is", "jet"),
            ("runs", "Runs, one a line: dry, filled, after in g, then minutes", "20.00 23.00 21.10 5.5"),
            ("name", "Name of yours", "Small jet of the ward"),
            ("at", "Sheet and day", "sheet 9 of 20 Nov 2026"),
            ("water", "Of what left only water, where no run measured it", "20 to 40 %"),
            ("step", "Step of the balance", "0.01 g"),
            ("density", "Density of the solution, g per mL", "1.0"),
            ("judged", "The first sputter may be told off by", "0.25 min"),
        ),
        example={"kind": "jet", "runs": "20.00 23.00 21.10 5.5\n20.00 23.01 21.02 5.9\n20.01 23.02 21.06 5.4", "name": "Small jet", "at": "sheet 9"},
        work=weigh,
        of={"nebulizer": "kind", "density_g_mL": "density", "step_g": "step", "judged_min": "judged"},
        long="runs",
    ),
    Sum(
        ident="hours",
        title="Continuous nebulizing",
        why="What to mix for a dose an hour, how long it lasts, and what the dose is when the output is another. The recipe is exact; what the nebulizer does is a range.",
        boxes=(
            ("rate", "Dose an hour, or by weight", "10 mg/h, or 0.3 mg/kg/h"),
            ("weight", "Weight, for a dose by weight", "20 kg"),
            ("least", "Least dose an hour that the order states", "5 mg/h"),
            ("most", "Most that it states", "10 mg/h"),
            ("output", "Output of the nebulizer, measured at its flow", "45 mL/h"),
            ("hours", "For how long", "4 h"),
            ("stock", "Strength of the stock", "5 mg/mL"),
            ("dead", "What does not nebulize", "10 mL"),
            ("true_output", "Output as it may really be", "38 to 55 mL/h"),
            ("left", "What is in the reservoir now", "120 mL"),
            ("early", "Filled anew so long before it is empty", "15 min"),
            ("preservative", "Preservative in the stock", "100 mcg/mL"),
        ),
        example={"rate": "10 mg/h", "output": "30 mL/h", "hours": "8 h", "stock": "5 mg/mL", "dead": "10 mL", "true_output": "24 to 36 mL/h", "left": "120 mL", "early": "15 min", "preservative": "100 mcg/mL"},
        work=hours,
        of={
            "rate_mg_h": "rate", "per_kg_mg_h": "rate", "weight_kg": "weight", "least_mg_h": "least", "output_mL_h": "output",
            "stock_mg_mL": "stock", "dead_mL": "dead", "volume_mL": "left", "preservative_mcg_mL": "preservative",
            "strength_mg_mL": "rate", "lasts_h": "hours",
        },
    ),
    Sum(
        ident="pump",
        title="A cup fed by a pump",
        why="What the cup comes to while a pump feeds it, how much can leave in an hour, and after how long it is settled.",
        boxes=(
            ("fed", "Strength of what is fed", "1 mg/mL"),
            ("feed", "Flow of the pump", "10 mL/h"),
            ("cup", "Volume in the cup", "2 mL"),
            ("water", "Of what leaves only water", "30 %"),
            ("most", "Most that the nebulizer can put out", "20 mL/h"),
        ),
        example={"fed": "1 mg/mL", "feed": "10 mL/h", "cup": "2 mL", "water": "30 %"},
        work=pump,
        of={
            "fed_mg_mL": "fed", "feed_mL_h": "feed", "cup_mL": "cup", "evaporated": "water", "most_mL_h": "most",
        },
    ),
    Sum(
        ident="gas",
        title="Gas for a nebulizer",
        why="How long a cylinder lasts with its reserve, what pressure a job needs, the actual flow of heliox, whether a source drives the nebulizer, and oxygen in air. No dose is told for heliox from figures of air.",
        boxes=(
            ("cylinder", "Cylinder, by its letter or L per psi", "E, or 0.28 L/psi"),
            ("pressure", "Pressure on the gauge", "2,000 psi"),
            ("reserve", "Reserve that is kept; 200 psi without it", "200 psi"),
            ("flow", "Flow, as the flowmeter shows it", "8 L/min"),
            ("job", "It must last", "15 min"),
            ("heliox", "Heliox through an oxygen flowmeter", "80-20"),
            ("gives", "A compressor or concentrator gives", "5 L/min"),
            ("nebulizer", "Which nebulizer it drives", "jet"),
            ("air", "Flow of air", "8 L/min"),
            ("oxygen", "Oxygen beside it", "2 L/min"),
        ),
        example={"cylinder": "E", "pressure": "2,000 psi", "flow": "8 L/min", "job": "30 min", "gives": "5 L/min", "nebulizer": "jet"},
        work=gas,
        of={
            "gas": "cylinder", "litres_per_psi": "cylinder", "psi": "pressure", "reserve_psi": "reserve", "flow_L_min": "flow",
            "minutes": "job", "air_L_min": "air", "oxygen_L_min": "oxygen", "factor": "heliox", "read_L_min": "flow",
        },
    ),
    Sum(
        ident="settle",
        title="Where droplets settle",
        why="A healthy adult's lung model beside the short fits, which are for still air breathed largely through the nose. A model, not a measurement.",
        boxes=(
            ("size", "Size, or mass median, micrometres", "3"),
            ("spread", "Geometric standard deviation of a spray", "2"),
            ("by", "Breathed in", "mouth"),
            ("tidal", "Volume of a breath", "500 mL"),
            ("seconds", "Drawn in", "2 s"),
        ),
        example={"size": "3.5", "spread": "2", "by": "mouth", "tidal": "500 mL", "seconds": "2 s"},
        work=settle,
        of={"size_um": "size", "mmad_um": "size", "gsd": "spread", "tidal_mL": "tidal", "drawn_mL_s": "seconds"},
    ),
)  # fmt: skip
ALONE: Final = frozenset({"kind", "by"})
"""Lists that always say something: by themselves they ask nothing."""
BY_IDENT: Final = {one.ident: one for one in SUMS}


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """One box as the page shows it, with its faults."""

    name: str
    label: str
    hint: str
    text: str
    long: bool
    choices: tuple[tuple[str, str, bool], ...]
    faults: tuple[Fault, ...]


def _choices(name: str, own: Own) -> tuple[tuple[str, str], ...]:
    """What can be chosen in a box; nothing where it is typed."""
    book = load()
    kinds = [(one.id, one.name) for one in book.nebulizers]
    if name == "kind":
        return tuple(kinds)
    if name == "nebulizer":
        return ("", "none"), *kinds, *((one.id, f"{one.name}, measured here") for one in own)
    if name == "heliox":
        return ("", "none"), *((one, one) for one in book.aerosol.heliox)
    return (("mouth", "by mouth"), ("nose", "by nose")) if name == "by" else ()


def sum_boxes(one: Sum, typed: Boxes, faults: Sequence[Fault], own: Own = ()) -> tuple[Box, ...]:
    """The boxes of a sum with what stands in them, each with its faults."""
    return tuple(
        Box(
            name=name,
            label=label,
            hint=hint,
            text=typed[name],
            long=name == one.long,
            choices=tuple((ident, words, ident == typed[name]) for ident, words in _choices(name, own)),
            faults=tuple(fault for fault in faults if one.box_of(fault.field) == name),
        )
        for name, label, hint in one.boxes
    )


def worked(one: Sum, query: Boxes, own: Own) -> tuple[Boxes, Answer | None, Refused | None]:
    """What was typed, cut; and the answer, or the refusal, or neither while nothing was asked."""
    typed = {name: query.get(name, "").strip()[: 2000 if name == one.long else 200] for name, _, _ in one.boxes}
    said = {name: text for name, text in typed.items() if text}
    if not {*said} - ALONE:
        return typed, None, None
    try:
        return typed, one.work(said, own), None
    except Refused as refused:
        return typed, None, refused
