"""The key of a task, made of the engine's plan: what to draw, to which mark, what to add, the label, the working; or why to stop.

Nothing in a key is computed beside the engine. The one sum that is worked here is the learner's own, from what stands on the
card and on the label; that it comes out as the plan does is proved by `constraints`.
"""

from __future__ import annotations

from drawndose.bench.draws import Draw, ml
from drawndose.bench.findings import Level
from drawndose.bench.plans import Plan, Status
from drawndose.bench.sums import Worked, work
from drawndose.bench.working import worked
from drawndose.lab.tasks.task import AnswerKey, TaskKind
from drawndose.lab.tasks.template import Row, Template

SUM = "dose_to_volume"


def key_of(made: Template, row: Row, plan: Plan) -> AnswerKey:
    """The key of one task."""
    if made.kind is TaskKind.STOP:
        return _stopping(plan)
    if plan.status is not Status.READY:
        return AnswerKey(kind=made.kind, says=f"The engine makes no plan of it: {plan.status.value}.")
    (take, *_), fill = plan.takes, plan.fill
    assert fill is not None  # a ready plan has one
    drawn = take.draw
    return AnswerKey(
        kind=made.kind,
        says=_says(plan),
        volume_mL=take.volume,
        measured=drawn is not None,
        tolerance_mL=made.tolerance * take.volume if drawn is not None else None,
        instrument=drawn.instrument.name if drawn is not None else "",
        reading=drawn.reading if drawn is not None else "",
        whole=take.whole,
        diluent=fill.diluent if fill.added else "",
        added_mL=fill.added,
        fill_mL=fill.total,
        label=plan.label,
        worked=dose_sum(made, row),
        working=tuple(line for one in worked(plan) for line in one.lines),
    )


def dose_sum(made: Template, row: Row) -> Worked:
    """The learner's sum: the volume that holds the dose, from the card's dose and the label's strength."""
    dose = {"dose_rate": row.dose, "weight": row.weight} if row.weight else {"dose": row.dose}
    return work(SUM, {**dose, "strength": made.strength})


def _says(plan: Plan) -> str:
    take, fill = plan.takes[0], plan.fill
    assert fill is not None
    if take.draw is not None:
        what = f"Draw {ml(take.volume)}{fills_words(take.draw)} with the {take.draw.instrument.name}"
    else:
        what = f"Empty {take.whole} whole" if take.whole > 1 else "Empty the whole unit"
    added = (
        f"; add {ml(fill.added)} of {fill.diluent}, up to {ml(fill.total)} in all" if fill.added else "; add nothing"
    )
    return f"{what}{added}."


def fills_words(draw: Draw) -> str:
    """How often it is filled, and to where; "" for once."""
    if len(draw.fills) == 1:
        return ""
    if len(set(draw.fills)) == 1:
        return f" ({len(draw.fills)} times {ml(draw.fills[0])})"
    return f" ({', then '.join(ml(fill) for fill in draw.fills)})"


def _stopping(plan: Plan) -> AnswerKey:
    """Why it stops, in the engine's own words: a finding, a question without which it makes no plan, or no way at all."""
    stops = [one for one in plan.findings if one.level is Level.STOP]
    asked = [one for one in plan.questions if one.blocking]
    rule, why, do = "", "", ""
    if stops:
        rule, why, do = stops[0].rule, stops[0].says, stops[0].do
    elif asked:
        rule, why, do = asked[0].field, asked[0].asks, "Ask the prescriber."
    elif plan.ways_out:  # "Put a container of ... on the bench. What stands there is another drug."
        do, _, why = plan.ways_out[0].partition(". ")
        why, do = f"{why[:1].upper()}{why[1:]}", f"{do}."
    return AnswerKey(kind=TaskKind.STOP, says=f"Stop. {why}", rule=rule, why=why, do=do)
