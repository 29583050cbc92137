"""Drugs first, doses after: read first with first and said; stopped where the doses could be the other way round."""

import pytest

from drawndose import Status
from drawndose.bench.findings import Level, Waiver
from drawndose.bench.safeguards.columns import RULES
from tests.bench.benches import made
from tests.bench.safeguards.ordered import on, rules_on, the

COLUMNS = "doses-in-columns"
(RULE,) = RULES


def test_one_reading_alone_fits_and_is_said() -> None:
    note = the("ipratropium and albuterol 0.5 mg and 2.5 mg by nebulizer", COLUMNS)
    assert note.level is Level.NOTE
    assert (
        note.says
        == "The order names 2 drugs, then 2 doses, read in their order: 0.5 mg of ipratropium, 2.5 mg of albuterol."
    )


@pytest.mark.parametrize(
    ("text", "other"),
    [
        ("budesonide and ipratropium 0.5 mg and 0.25 mg", "0.25 mg of budesonide, 0.5 mg of ipratropium"),
        ("ipratropium and albuterol 2.5 mg and 0.5 mg", "0.5 mg of ipratropium, 2.5 mg of albuterol"),
        ("terbutaline, cromolyn 10 mg, 20 mg", ""),
    ],
)
def test_where_another_reading_fits_as_well_it_is_stopped(text: str, other: str) -> None:
    finding = the(f"{text} by nebulizer", COLUMNS)
    assert finding.level is (Level.STOP if other else Level.NOTE)
    assert f"; {other} would fit as well." in finding.says or not other
    assert len(finding.says.split()) <= 40
    if other:
        assert (finding.waiver, finding.do) == (Waiver.PRESCRIBER, "Have it written again, each dose beside its drug.")


def test_a_stop_leaves_nothing_to_draw() -> None:
    assert made("budesonide and ipratropium 0.5 mg and 0.25 mg by nebulizer").status is Status.STOPPED
    assert made("ipratropium and albuterol 0.5 mg and 2.5 mg by nebulizer").status is Status.READY


@pytest.mark.parametrize(
    "text",
    [
        "budesonide 0.5 mg and ipratropium 0.25 mg by nebulizer",  # each dose beside its drug
        "0.5 mg budesonide and 0.25 mg ipratropium by nebulizer",
        "budesonide 0.5 mg by nebulizer",
    ],
)
def test_each_dose_beside_its_drug_is_never_doubted(text: str) -> None:
    assert COLUMNS not in rules_on(text)


def test_equal_doses_are_the_same_either_way() -> None:
    (note,) = [one for one in on("budesonide and ipratropium 0.5 mg and 0.5 mg by nebulizer") if one.rule == COLUMNS]
    assert note.level is Level.NOTE
