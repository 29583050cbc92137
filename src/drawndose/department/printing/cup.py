"""The label of a cup or a syringe.

Sources: Joint Commission, National Performance Goals, NPG.14.03.01 (name, strength, amount, diluent with its volume, expiry
with date and time; when another gives it also the person, a second identifier, who prepared it and when); the warning of the
route after published wrong-route events, wording ours.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from drawndose.bench.labels import TO_WRITE, LabelLine
from drawndose.bench.plans import Plan
from drawndose.department.printing.label import FOR_INHALATION, Label, Line
from drawndose.department.printing.printed import Printed, print_label
from drawndose.department.printing.size import SIZES, Size
from drawndose.quantities import Fault, gather, show_about


@dataclass(frozen=True, slots=True, kw_only=True)
class CupLabel:
    """What it says, in words. doses: name, amount and total of each drug; strengths: per mL of each.

    use_by: a moment, or "at once, and by" a moment. person: with both identifiers. for_another: somebody else gives it; the person
    is then wanted in full. A row of dots stands for what is written by hand.
    """

    doses: tuple[str, ...]
    strengths: tuple[str, ...]
    prepared: str
    use_by: str
    made_by: str
    code: str
    diluent: str = ""
    runs: str = ""
    person: str = ""
    for_another: bool = False


def cup(content: CupLabel) -> Label:
    """The label before it has a size. Refused when a part is missing that must be on it."""
    faults = [
        Fault(field=name, rule="a cup label says this", came="nothing", accepted=accepted)
        for name, value, accepted in (
            ("dose", content.doses, "albuterol 2.5 mg in 3 mL"),
            ("strength", content.strengths, "0.833 mg per mL"),
        )
        if not value
    ]
    if content.for_another and (not content.person or TO_WRITE in content.person):
        rule = "somebody else gives it: the person stands on the label"
        accepted = "a name and a second identifier"
        faults.append(Fault(field="person", rule=rule, came=content.person, accepted=accepted))
    gather(faults)
    held_in = ", ".join(content.strengths)
    return Label(
        kind="cup",
        lines=(
            *(Line(name="dose", text=dose, bold=True, large=True) for dose in content.doses),
            Line(name="strength", text=f"{held_in}. Diluted with {content.diluent}" if content.diluent else held_in),
            *([Line(name="runs", text=content.runs)] if content.runs else []),
            Line(name="route", text=FOR_INHALATION, bold=True),
        ),
        beside=(
            *([Line(name="person", text=content.person)] if content.person else []),
            Line(name="prepared", text=f"Prepared {content.prepared}" if content.prepared else ""),
            Line(name="use by", text=_use(content.use_by), bold=True),
            Line(name="made by", text=f"By {content.made_by}" if content.made_by else ""),
        ),
        code=content.code,
    )


def _use(by: str) -> str:
    if by.startswith("at once"):
        return f"Use {by}"
    return f"Use by {by}" if by else ""


def cup_label(content: CupLabel, sizes: Sequence[Size] = SIZES) -> Printed:
    """The label, printed at the first of these sizes that holds it. Refused when none does, or when a part is missing."""
    return print_label(cup(content), sizes)


def cup_of_plan(plan: Plan, lines: Sequence[LabelLine], *, code: str, for_another: bool = False) -> CupLabel:
    """The content out of a plan and its label's lines as they were recorded."""
    text = {line.name: line.text for line in lines}
    several = len(plan.concentrations) > 1
    return CupLabel(
        doses=tuple(line.text for line in lines if line.name == "dose"),
        strengths=tuple(
            f"{name} {show_about(one)}" if several else show_about(one) for name, one in plan.concentrations
        ),
        prepared=text.get("started", ""),
        use_by=text.get("start giving by", ""),
        made_by=text.get("made by", ""),
        code=code,
        diluent=text.get("diluted with", ""),
        runs=text.get("runs", ""),
        person=text.get("person", ""),
        for_another=for_another,
    )
