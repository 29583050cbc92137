"""What the lumen of a needle holds, against the volumes worked out beside a chart of regular-wall bores.

Source: chart of needle gauges, inner diameters, regular wall (a copy was read), with the volume for each millimetre of length
derived from it there; tolerance: half of the last digit as it stands.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from drawndose import load

BOOK = load()
PER_MM = {18: "0.5515", 19: "0.3696", 20: "0.2856", 21: "0.2075", 22: "0.134", 23: "0.0892", 25: "0.0531", 26: "0.0531",
          27: "0.0346", 30: "0.0199"}  # fmt: skip
"""Microlitres for each millimetre, by gauge."""


@pytest.mark.parametrize("gauge", PER_MM)
def test_a_millimetre_of_each_gauge_holds_what_the_chart_says(gauge: int) -> None:
    needle = replace(next(one for one in BOOK.needles if one.gauge == gauge and not one.filters), length_mm=Fraction(1))
    assert needle.lumen is not None
    assert abs(needle.lumen * 1000 - Fraction(PER_MM[gauge])) <= Fraction(5, 100000)


@pytest.mark.parametrize(("ident", "microlitres"), [("needle-21g", "7.9"), ("needle-23g", "2.2")])
def test_most_of_what_a_needle_keeps_is_its_hub(ident: str, microlitres: str) -> None:
    needle = BOOK.needle(ident)
    assert needle.lumen is not None
    assert needle.hub is not None
    assert abs(needle.lumen * 1000 - Fraction(microlitres)) <= Fraction(5, 100)
    assert needle.hub > 4 * needle.lumen
