"""A score: exact percent of the form's weight, the critical failures, and what nobody marked."""

from fractions import Fraction

from drawndose.lab.attempts.attempt import Sheet
from drawndose.lab.attempts.scored import score
from tests.lab.samples import FORM, GOOD, mark, marked


def test_everything_done_is_a_hundred() -> None:
    found = score(Sheet(evaluator="eva", marks=GOOD, rating=4), FORM)
    assert (found.percent, found.complete, found.rating, found.prompts) == (100, True, 4, 0)
    assert (found.failed, found.critical_failures, found.unmarked) == ((), (), ())


def test_weights_and_points_count_exactly() -> None:
    found = score(Sheet(evaluator="eva", marks=marked(2, "1")), FORM)
    assert found.percent == Fraction(2 + 1 + Fraction(3, 2) + 1, 7) * 100
    assert [one.id for one in found.failed] == ["read"]
    assert found.critical_failures == ()


def test_the_worst_point_of_a_critical_step_fails_it_and_that_of_another_does_not() -> None:
    assert [one.id for one in score(Sheet(evaluator="e", marks=marked(2, "0")), FORM).critical_failures] == ["read"]
    found = score(Sheet(evaluator="e", marks=marked(3, "0")), FORM)
    assert (found.critical_failures, [one.id for one in found.failed]) == ((), ["record"])


def test_an_unmarked_step_earns_nothing_and_is_told() -> None:
    found = score(Sheet(evaluator="eva", marks=(*GOOD[:1], mark(8, "unknown"), mark(9, "read", "9"))), FORM)
    assert [one.id for one in found.unmarked] == ["snap-away", "read", "record"]
    assert (found.percent, found.complete, found.critical_failures) == (Fraction(200, 7), False, ())


def test_prompts_are_counted() -> None:
    assert score(Sheet(evaluator="e", marks=(*GOOD[:3], mark(4, "record", "4", prompted=True))), FORM).prompts == 1
