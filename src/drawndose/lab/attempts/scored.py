"""The score of one sheet: percent by weight, exactly; which critical steps failed; which steps nobody marked."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from drawndose.lab.attempts.attempt import Sheet
from drawndose.lab.attempts.marks import Mark, standing
from drawndose.lab.forms.form import Form, Step


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """What a sheet comes to.

    percent: of the weight of the whole form, 0 to 100; an unmarked step earns nothing. failed: steps that earn less than
    their whole weight; critical_failures: the critical ones that fail. complete: every step is marked.
    """

    evaluator: str
    percent: Fraction
    critical_failures: tuple[Step, ...]
    failed: tuple[Step, ...]
    unmarked: tuple[Step, ...]
    prompts: int
    rating: int | None = None

    @property
    def complete(self) -> bool:
        """True when every step of the form is marked."""
        return not self.unmarked


def score(sheet: Sheet, form: Form) -> Score:
    """The score of one sheet on its form. Marks of steps that the form does not show count nothing; see `attempt_faults`."""
    stands = standing(sheet.marks)
    earned = {one.id: _share(stands.get(one.id), one) for one in form.shown}
    total = sum((one.weight * (earned[one.id] or Fraction(0)) for one in form.shown), Fraction(0))
    return Score(
        evaluator=sheet.evaluator,
        percent=total * 100 / form.total_weight,
        critical_failures=tuple(one for one in form.critical if _fails(stands.get(one.id), one)),
        failed=tuple(one for one in form.shown if (share := earned[one.id]) is not None and share < 1),
        unmarked=tuple(one for one in form.shown if earned[one.id] is None),
        prompts=sum(one.prompted for one in stands.values()),
        rating=sheet.rating,
    )


def _share(mark: Mark | None, step: Step) -> Fraction | None:
    point = step.scale.point(mark.point) if mark is not None else None
    return point.share if point is not None else None


def _fails(mark: Mark | None, step: Step) -> bool:
    point = step.scale.point(mark.point) if mark is not None else None
    return point is not None and point.fails
