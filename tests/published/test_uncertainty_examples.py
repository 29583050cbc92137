"""Worked examples of uncertainty and weighing, each named with its source, against the budget and the trials.

Those of JCGM 101 are known from memory only, so nothing printed there is asserted: the trials are held against answers that
can be worked out in closed form, here. Tolerances come from the digits as printed, or from the trial's own error.
"""

from collections.abc import Mapping
from fractions import Fraction
from math import log, sqrt

import numpy as np
import pytest

from drawndose import load
from drawndose.reference.cases import Case
from drawndose.science.budget import Budget, Model, Shape, Term, Values, budget
from drawndose.science.cases import solve
from drawndose.science.drawing import Conditions, Measured, volume_budget
from drawndose.science.montecarlo import simulate
from drawndose.science.weighing import least_weighable

STILL = Conditions(away_degC=0.0)


def term(name: str, shape: Shape, spread: float, centre: float = 0.0) -> Term:
    return Term(name=name, group=name, shape=shape, spread=spread, centre=centre)


def summed(*terms: Term) -> Model:
    def answer(values: Mapping[str, Values]) -> Values:
        return np.sum([values[one.name] for one in terms], axis=0)

    return Model(terms=terms, answer=answer)


def flask(nominal: float, tolerance: Term, repeat: Term) -> Model:
    """Volume of a flask: its tolerance, filling it again, and 4 degC to both sides of 20 at 2.1e-4 per degC."""
    return summed(
        term("nominal", Shape.NORMAL, 0.0, nominal),
        tolerance,
        repeat,
        term("temperature", Shape.RECTANGULAR, nominal * 2.1e-4 * 4.0),
    )


def test_quam_a1_volume_of_a_100_ml_flask() -> None:
    """EURACHEM/CITAC QUAM, example A1: u(V) = 0.07 mL, printed; 0.0664730521840743 in a calculation file of it."""
    made = flask(100.0, term("tolerance", Shape.TRIANGULAR, 0.1), term("repeat", Shape.NORMAL, 0.02))
    assert budget(made).u == pytest.approx(0.0664730521840743, rel=1e-12)
    assert round(budget(made).u, 2) == 0.07


def quam_concentration(u_volume: float) -> Budget:
    terms = (
        term("m", Shape.NORMAL, 0.05, 100.28),
        term("P", Shape.RECTANGULAR, 0.0001, 0.9999),
        term("V", Shape.NORMAL, u_volume, 100.0),
    )
    return budget(Model(terms=terms, answer=lambda values: 1000.0 * values["m"] * values["P"] / values["V"]))


def test_quam_a1_concentration_of_cadmium() -> None:
    """EURACHEM/CITAC QUAM, example A1: c = 1002.7 mg/L, u(c) = 0.9 mg/L. The print follows from u(V) rounded to 0.07."""
    assert round(quam_concentration(0.07).value, 1) == 1002.7
    assert round(quam_concentration(0.07).u, 1) == 0.9
    assert quam_concentration(0.07).u == pytest.approx(0.8637, abs=5e-5)


def test_quam_a1_with_the_unrounded_volume_prints_another_figure() -> None:
    assert quam_concentration(0.0664730521840743).u == pytest.approx(0.8352, abs=5e-5)


def test_a_50_ml_flask() -> None:
    """University of Tartu, GUM examples, 50 mL flask: 0.0669925368977769 mL (4 degC inferred, proved by 15 digits)."""
    made = flask(50.0, term("tolerance", Shape.RECTANGULAR, 0.06), term("repeat", Shape.RECTANGULAR, 0.09))
    assert budget(made).u == pytest.approx(0.0669925368977769, rel=1e-12)


def test_a_rectangle_from_7_to_10() -> None:
    """QUAM, appendix E.1, by a matching text: u = 0.87."""
    assert round(term("x", Shape.RECTANGULAR, 1.5, 8.5).u, 2) == 0.87


def test_4_ml_in_a_10_ml_syringe() -> None:
    """Testing laboratory's note of 2016-08-10 on ISO 7886-1:1993, Table 1: 0.15 + 0.04 = 0.19 mL, exact."""
    given = {"nominal_mL": 10, "expelled_mL": 4}
    case = Case(
        file="", id="", kind="metrology.syringe_tolerance", given=given, expect={}, standing="published", source=""
    )
    assert [one.value for one in solve(case)["tolerance_mL"]] == [Fraction(19, 100)]


@pytest.mark.parametrize(
    ("sensitivity_mg", "share", "printed_mg"), [(6.0, 0.05, "120"), (10.0, 0.05, "200"), (2.5, 0.03, "83.3")]
)
def test_least_weighable_quantity(sensitivity_mg: float, share: float, printed_mg: str) -> None:
    """University pharmaceutics laboratory, weighing (120 mg); two further worked answers in a copy (200 mg, 83.3 mg)."""
    found = 1000.0 * least_weighable(sensitivity_mg / 1000.0, share)
    assert found == pytest.approx(float(printed_mg), abs=0.05)


@pytest.mark.parametrize(
    ("ident", "u", "expanded"),
    [("syringe-1", 0.01472, 0.029439), ("syringe-3", 0.042915, 0.085829), ("dropper-0.25-0.5", 0.043301, 0.0866025)],
)
def test_half_a_millilitre_three_ways(ident: str, u: float, expanded: float) -> None:
    """Derived: permissible error and half a step as rectangles, U with k = 2; 5.888 %, 17.166 % and 17.321 % of 0.5 mL."""
    one = Measured(tag="draw", instrument=load().instrument(ident), fills=(Fraction(1, 2),), conditions=STILL)
    found = volume_budget(one)
    assert found.u == pytest.approx(u, abs=6e-7)
    assert 2 * found.u == pytest.approx(expanded, abs=6e-7)


ROOT3 = sqrt(3.0)


def irwin_hall_4(x: float) -> float:
    """The chance that a sum of four of [0, 1] stays below x, from 2 up (exact)."""
    return 1.0 - (4.0 - x) ** 4 / 24.0 + (4.0 * (3.0 - x) ** 4 / 24.0 if x < 3 else 0.0)


def test_four_rectangles_of_one_size() -> None:
    """The model of JCGM 101, 9.2.3. Exact: the sum of four rectangles, whose 97.5 % point solves irwin_hall_4."""
    half = 3.879406741347821
    assert irwin_hall_4(2.0 + half / (2 * ROOT3)) == pytest.approx(0.975, abs=1e-12)
    made = summed(*(term(f"x{place}", Shape.RECTANGULAR, ROOT3) for place in range(4)))
    assert budget(made).u == pytest.approx(2.0, rel=1e-12)
    assert budget(made).expanded == pytest.approx(2 * 1.959964, abs=1e-5)
    found = simulate(made)
    assert found.high.value == pytest.approx(half, abs=4 * found.high.error)
    assert found.low.value == pytest.approx(-half, abs=4 * found.low.error)
    density = (2.0 - half / (2 * ROOT3)) ** 3 / 6.0 / (2 * ROOT3)
    assert found.high.error == pytest.approx(sqrt(0.025 * 0.975 / found.trials) / density, rel=0.15)


def test_one_rectangle_that_outweighs_three() -> None:
    """The model of JCGM 101, 9.2.4: the answer is known by integrating the three small ones' density over the large one."""
    small = [term(f"x{place}", Shape.RECTANGULAR, ROOT3) for place in range(3)]
    made = summed(*small, term("large", Shape.RECTANGULAR, 10 * ROOT3))
    rough = budget(made)
    assert rough.u == pytest.approx(sqrt(103.0), rel=1e-12)
    assert rough.misleads == "one rectangular term (large) outweighs the rest"
    found = simulate(made)
    half, step = 3 * ROOT3, 0.001
    at = np.arange(-half, half, step) + step / 2
    unit = (at + half) / (2 * ROOT3)  # the three small ones as a sum of three of [0, 1]
    density = np.where(
        unit < 1, unit**2 / 2, np.where(unit < 2, (-2 * unit**2 + 6 * unit - 3) / 2, (3 - unit) ** 2 / 2)
    )
    below = np.clip((found.high.value - at) / (20 * ROOT3) + 0.5, 0, 1)
    chance = float(np.sum(density * below) * step / (2 * ROOT3))
    assert chance == pytest.approx(0.975, abs=4 * found.high.error / (20 * ROOT3))
    assert found.high.value < 0.9 * rough.expanded


def test_comparing_two_weights_in_air() -> None:
    """The model of JCGM 101, 9.3: first order misses that air density multiplies two unsure densities. Exact second moment."""
    ra, rw, rr = (1.1, 1.3), (7000.0, 9000.0), (7950.0, 8050.0)

    def term_between(name: str, ends: tuple[float, float]) -> Term:
        return term(name, Shape.RECTANGULAR, (ends[1] - ends[0]) / 2, sum(ends) / 2)

    terms = (
        term("reference", Shape.NORMAL, 0.05, 100_000.0),
        term("difference", Shape.NORMAL, 0.02, 1.234),
        term_between("ra", ra), term_between("rw", rw), term_between("rr", rr),
    )  # fmt: skip

    def answer(values: Mapping[str, Values]) -> Values:
        mass = values["reference"] + values["difference"]
        return mass * (1.0 + (values["ra"] - 1.2) * (1.0 / values["rw"] - 1.0 / values["rr"])) - 100_000.0

    made = Model(terms=terms, answer=answer)
    assert budget(made).value == pytest.approx(1.234, abs=1e-9)
    assert budget(made).u == pytest.approx(sqrt(0.05**2 + 0.02**2), rel=1e-4)
    inverse = {ends: log(ends[1] / ends[0]) / (ends[1] - ends[0]) for ends in (rw, rr)}
    squared = {ends: 1.0 / (ends[0] * ends[1]) for ends in (rw, rr)}
    lever = squared[rw] + squared[rr] - 2 * inverse[rw] * inverse[rr]
    mass = 100_001.234
    exact = sqrt(0.05**2 + 0.02**2 + (mass**2 + 0.0029) * (0.2**2 / 12) * lever)
    found = simulate(made)
    assert found.mean == pytest.approx(1.234, abs=0.001)
    assert found.sd == pytest.approx(exact, rel=0.01)
    assert budget(made).u < 0.75 * found.sd
    assert found.shortest[1] - found.shortest[0] <= found.high.value - found.low.value
