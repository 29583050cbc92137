"""Quantiles against scipy's other implementation (scipy.stats), and each other."""

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from drawndose.science.quantiles import chi2_quantile, coverage_factor, t_below, t_quantile


@given(st.floats(0.001, 0.999), st.floats(1.0, 500.0))
def test_student_t_agrees_with_the_distribution(chance: float, nu: float) -> None:
    assert t_quantile(chance, nu) == pytest.approx(stats.t.ppf(chance, nu), rel=1e-7, abs=1e-9)
    assert t_below(t_quantile(chance, nu), nu) == pytest.approx(chance, abs=1e-9)


@given(st.floats(0.001, 0.999), st.floats(1.0, 500.0))
def test_chi_square_agrees_with_the_distribution(chance: float, nu: float) -> None:
    assert chi2_quantile(chance, nu) == pytest.approx(stats.chi2.ppf(chance, nu), rel=1e-7)


@given(st.floats(1.0, 99.9))
def test_many_degrees_of_freedom_are_the_normal_distribution(level: float) -> None:
    assert coverage_factor(level) == pytest.approx(stats.norm.ppf(0.5 + level / 200.0), rel=1e-9)
    assert coverage_factor(level, 1e9) == pytest.approx(coverage_factor(level, inf), rel=1e-6)


@given(st.floats(50.0, 99.9), st.floats(1.0, 200.0))
def test_fewer_degrees_of_freedom_want_a_larger_factor(level: float, nu: float) -> None:
    assert coverage_factor(level, nu) > coverage_factor(level)
