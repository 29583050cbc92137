"""The steps of a plan as a checklist, one at a time: the one that is due, the way to the others, and the label check that waits."""

from __future__ import annotations

from dataclasses import dataclass

from drawndose.bench.plans import Plan
from drawndose.department.web.step_pictures import StepPicture, step_pictures
from drawndose.department.work.checklist import Ticked, checklist, name_of, next_check
from drawndose.department.work.models import Preparation
from drawndose.department.work.places import local


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One step of the list: number, words, and by whom and when it was done ("" while it is open)."""

    number: int
    says: str
    critical: bool
    done: str
    check: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Stepping:
    """The list, the step in sight, its pictures, and the label check that is due with what it wants scanned."""

    lines: tuple[Line, ...]
    now: Ticked
    pictures: tuple[StepPicture, ...]
    before: int
    after: int
    done: int
    check: Ticked | None
    wanted: tuple[str, ...]


def stepping(made: Preparation, plan: Plan, asked: str) -> Stepping | None:
    """The steps as they stand; `asked` is the number of the one to look at, else the first that is open. None without steps."""
    steps = checklist(made, plan)
    if not steps:
        return None
    number = int(asked) if asked.isascii() and asked.isdecimal() and len(asked) < 4 else 0
    due = next((one for one in steps if not one.done), steps[-1])
    now = next((one for one in steps if one.step.number == number), due)
    check = next_check(steps, drawn=made.state != "planned") if made.state in {"planned", "drawn"} else None
    return Stepping(
        lines=tuple(_line(one, made) for one in steps),
        now=now,
        pictures=step_pictures(plan, now.step),
        before=max(now.step.number - 1, 0),
        after=now.step.number + 1 if now.step.number < len(steps) else 0,
        done=sum(one.done for one in steps),
        check=check,
        wanted=tuple(name_of(one) for one in check.wanted) if check is not None else (),
    )


def _line(one: Ticked, made: Preparation) -> Line:
    done = f"{one.by}, {local(made.order.site, one.at):%H:%M}" if one.done and one.at is not None else ""
    return Line(number=one.step.number, says=one.step.says, critical=one.step.critical, done=done, check=one.check)
