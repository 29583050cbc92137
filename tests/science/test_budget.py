"""The budget against the `uncertainties` library, and the trials against the budget where both must agree."""

from math import inf, sqrt

import numpy as np
import pytest
import uncertainties
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from drawndose.science.budget import Contribution, Model, Shape, Term, budget, combine, effective_degrees
from drawndose.science.montecarlo import answers, answers_together, chance_beyond, simulate
from drawndose.science.quantiles import coverage_factor
from drawndose.science.ranges import OutOfRange

SPREADS = st.floats(1e-4, 0.05)


def term(name: str, shape: Shape = Shape.NORMAL, spread: float = 1.0, centre: float = 0.0, nu: float = inf) -> Term:
    return Term(name=name, group=name, shape=shape, spread=spread, centre=centre, nu=nu)


@given(st.floats(0.1, 10.0), st.floats(0.1, 10.0), st.floats(1.0, 10.0), SPREADS, SPREADS, SPREADS)
def test_a_first_dilution_agrees_with_the_uncertainties_library(
    stock: float, part: float, total: float, a: float, b: float, c: float
) -> None:
    terms = (
        term("stock", spread=a * stock, centre=stock),
        term("part", Shape.RECTANGULAR, b * part, part),
        term("total", Shape.TRIANGULAR, c * total, total),
    )
    found = budget(Model(terms=terms, answer=lambda values: values["stock"] * values["part"] / values["total"]))
    s, p, t = (uncertainties.ufloat(one.centre, one.u) for one in terms)
    expected = s * p / t
    assert found.value == pytest.approx(expected.nominal_value, rel=1e-12)
    assert found.u == pytest.approx(expected.std_dev, rel=3e-3)  # a step of one u is not quite a derivative


def test_an_input_that_enters_twice_counts_fully_correlated() -> None:
    x = uncertainties.ufloat(2.0, 0.1)
    found = budget(
        Model(terms=(term("x", spread=0.1, centre=2.0),), answer=lambda values: 3 * values["x"] + values["x"])
    )
    assert found.u == pytest.approx((3 * x + x).std_dev) == pytest.approx(0.4)


def test_contributions_stand_in_order_with_their_shares() -> None:
    parts = [Contribution(name=name, shape=Shape.NORMAL, u=u) for name, u in (("a", 1.0), ("b", 2.0), ("nothing", 0.0))]
    found = combine(1.0, parts)
    assert [(one.name, round(found.share(one), 6)) for one in found.contributions] == [("b", 0.8), ("a", 0.2)]
    assert found.limit == inf


def test_a_budget_of_nothing() -> None:
    found = combine(1.0, [])
    assert (found.u, found.expanded, found.limit, found.dominant, found.misleads) == (0.0, 0.0, 0.0, None, "")


def test_terms_of_one_group_are_told_as_one() -> None:
    terms = tuple(
        Term(name=f"reading {place}", group="reading", shape=Shape.RECTANGULAR, spread=0.05) for place in range(3)
    )
    found = budget(Model(terms=terms, answer=lambda values: np.sum([values[one.name] for one in terms], axis=0)))
    assert [one.name for one in found.contributions] == ["reading"]
    assert found.u == pytest.approx(0.05)
    assert found.limit == pytest.approx(0.15)


@given(st.lists(st.tuples(st.floats(0.01, 10.0), st.floats(1.0, 100.0)), min_size=1, max_size=6))
def test_effective_degrees_lie_between_the_fewest_and_the_sum(parts: list[tuple[float, float]]) -> None:
    made = [Contribution(name="x", shape=Shape.NORMAL, u=u, nu=nu) for u, nu in parts]
    found = effective_degrees(made)
    assert min(nu for _, nu in parts) * (1 - 1e-9) <= found <= sum(nu for _, nu in parts) * (1 + 1e-9)


def test_well_known_terms_leave_the_degrees_infinite() -> None:
    assert effective_degrees([Contribution(name="x", shape=Shape.RECTANGULAR, u=1.0)]) == inf
    mixed = [Contribution(name="x", shape=Shape.NORMAL, u=1.0, nu=4), Contribution(name="y", shape=Shape.NORMAL, u=1.0)]
    assert effective_degrees(mixed) == pytest.approx(16.0)
    assert combine(0.0, mixed, 95.45).k == pytest.approx(stats.t.ppf(0.97725, 16), rel=1e-4)


def test_k_u_misleads_where_it_passes_the_limits_or_one_rectangle_outweighs() -> None:
    rectangle = Contribution(name="calibration", shape=Shape.RECTANGULAR, u=1.0, limit=sqrt(3.0))
    assert combine(0.0, [rectangle]).misleads == "k times u is wider than all the limits added up"
    assert combine(0.0, [rectangle]).half_width == pytest.approx(sqrt(3.0))
    small = Contribution(name="person", shape=Shape.NORMAL, u=0.29)
    assert combine(0.0, [rectangle, small]).misleads == "one rectangular term (calibration) outweighs the rest"
    large = Contribution(name="person", shape=Shape.NORMAL, u=0.31)
    assert combine(0.0, [rectangle, large]).misleads == ""


@pytest.mark.parametrize("shape", list(Shape))
def test_trials_of_one_term_have_its_standard_uncertainty(shape: Shape) -> None:
    one = term("x", shape, spread=2.0, centre=10.0)
    found = simulate(Model(terms=(one,), answer=lambda values: values["x"]))
    assert found.mean == pytest.approx(10.0, abs=5 * one.u / sqrt(found.trials))
    assert found.sd == pytest.approx(one.u, rel=0.01)


def test_trials_of_a_spread_found_by_experiment_have_the_tails_of_student_t() -> None:
    found = simulate(Model(terms=(term("x", nu=4.0),), answer=lambda values: values["x"]))
    assert found.high.value == pytest.approx(coverage_factor(95.0, 4.0), abs=4 * found.high.error)


def test_the_same_seed_gives_the_same_answer_and_another_one_another() -> None:
    model = Model(terms=(term("x"),), answer=lambda values: values["x"])
    assert simulate(model, seed=7) == simulate(model, seed=7)
    assert simulate(model, seed=7).low.value != simulate(model, seed=8).low.value


def test_the_stated_numerical_error_is_the_scatter_between_seeds() -> None:
    model = Model(terms=(term("x"),), answer=lambda values: values["x"])
    ends = [simulate(model, seed=seed, trials=20_000).high for seed in range(30)]
    scatter = float(np.std([one.value for one in ends], ddof=1))
    stated = float(np.mean([one.error for one in ends]))
    assert 0.6 < stated / scatter < 1.7


def test_a_chance_comes_with_its_error_and_never_as_a_bare_zero() -> None:
    found = answers(Model(terms=(term("x"),), answer=lambda values: values["x"]))
    beyond = chance_beyond(found, about=0.0, by=1.959964)
    assert beyond.value == pytest.approx(0.05, abs=4 * beyond.error)
    never = chance_beyond(found, about=0.0, by=100.0)
    assert (never.value, never.error) == (0.0, 3.0 / len(found))


def test_a_term_that_two_models_name_is_drawn_once_for_both() -> None:
    shared, own = term("shared"), term("own")
    one = Model(terms=(shared,), answer=lambda values: values["shared"])
    other = Model(terms=(shared, own), answer=lambda values: values["shared"] + values["own"])
    first, second = answers_together([one, other], trials=200_000)
    assert np.corrcoef(first, second)[0, 1] == pytest.approx(1 / sqrt(2), abs=0.01)


@pytest.mark.parametrize("trials", [20_000, 123_457])
def test_trials_come_in_the_number_asked_for(trials: int) -> None:
    found = answers(Model(terms=(term("x"),), answer=lambda values: values["x"]), trials=trials)
    assert found.shape == (trials,)
    assert len(np.unique(found)) == trials


def test_too_few_trials_are_refused() -> None:
    with pytest.raises(OutOfRange, match="number of trials"):
        answers(Model(terms=(term("x"),), answer=lambda values: values["x"]), trials=100)


def test_a_model_without_terms_is_a_constant() -> None:
    found = simulate(Model(terms=(), answer=lambda values: np.array(3.0)), trials=20_000)
    assert (found.mean, found.low.value, found.high.value) == (3.0, 3.0, 3.0)
