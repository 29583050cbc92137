"""One-way analysis of variance on every certified data set of NIST StRD that is shipped inside scipy, among them those made hard.

The certified values stand in the files beside the data. Ours are sums of fractions, so they are met to the last certified digit but one,
also where values like 1,000,000,000,000.4 leave a double no room.
"""

import re
from fractions import Fraction
from pathlib import Path

import pytest
import scipy.stats

from drawndose.science.statistics.anova import one_way

FILES = sorted((Path(scipy.stats.__file__).parent / "tests/data/nist_anova").glob("*.dat"))
NUMBER = r"([-+0-9.]+(?:E[-+][0-9]+)?)"


def test_all_of_them_are_there() -> None:
    assert len(FILES) == 11


@pytest.mark.parametrize("file", FILES, ids=lambda one: one.stem)
def test_a_certified_analysis_is_met(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    groups: dict[int, list[Fraction]] = {}
    for group, value in re.findall(r"^\s+(\d+)\s+([0-9.]+)\s*$", text[text.rindex("Data:") :], re.MULTILINE):
        groups.setdefault(int(group), []).append(Fraction(value))
    between = re.search(rf"Between \w+\s+(\d+)\s+{NUMBER}\s+{NUMBER}\s+{NUMBER}", text)
    within = re.search(rf"Within \w+\s+(\d+)\s+{NUMBER}", text)
    squared = re.search(rf"R-Squared\s+{NUMBER}", text)
    residual = re.search(rf"Standard Deviation\s+{NUMBER}", text)
    assert between
    assert within
    assert squared
    assert residual
    found = one_way(list(groups.values()))
    assert (found.df_between, found.df_within) == (int(between[1]), int(within[1]))
    assert found.between == pytest.approx(float(between[2]), rel=1e-13)
    assert found.within == pytest.approx(float(within[2]), rel=1e-13)
    assert found.f == pytest.approx(float(between[4]), rel=1e-13)
    assert found.r_squared == pytest.approx(float(squared[1]), rel=1e-13)
    assert found.residual_sd == pytest.approx(float(residual[1]), rel=1e-13)
