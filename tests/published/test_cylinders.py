"""What a graduated cylinder may be off by, against the table of the American specification.

Source: ASTM E1272-02 (2012), Table 1, class B, as a standards shop prints it with the scope (a copy was read). Tolerance of
these tests: none, the table is exact.
"""

from fractions import Fraction

import pytest

from drawndose import load

TABLE = {"10": ("0.2", "1", "0.20"), "25": ("0.5", "5", "0.34"), "50": ("1", "10", "0.50"), "100": ("1", "10", "1.00")}
"""Least graduation, main graduation, tolerance of class B, all mL, by capacity."""


@pytest.mark.parametrize("capacity", TABLE)
def test_a_cylinder_has_the_scale_and_the_error_of_class_b(capacity: str) -> None:
    one, (least, main, error) = load().instrument(f"cylinder-{capacity}"), TABLE[capacity]
    assert one.scale == (Fraction(capacity), Fraction(least), Fraction(main))
    for volume in (one.step, one.capacity / 2, one.capacity):
        assert one.permissible_error(volume) == Fraction(error)
