"""The strength that an order names against the containers on the bench: the nearest is told with its factor."""

import pytest

from drawndose import Status
from drawndose.bench.findings import Level, Waiver
from tests.bench.benches import BOOK, BOTTLE, bench, found, made, ready, rules

RULE = "another-strength"
UNIT_DOSE = "albuterol-2.5mg-3ml"


@pytest.mark.parametrize(
    ("text", "idents", "says"),
    [
        (
            "albuterol 5 % 0.5 mL by nebulizer to 3 mL",
            (BOTTLE,),
            "The order names 5 % (50 mg per mL); albuterol 0.5 % solution, dropper bottle, on the bench, is 5 mg per mL, "
            "10 times weaker.",
        ),
        (
            "albuterol 0.083 % 3 mL by nebulizer",
            (BOTTLE,),
            "The order names 0.083 % (0.83 mg per mL); albuterol 0.5 % solution, dropper bottle, on the bench, is "
            "5 mg per mL, about 6 times stronger.",
        ),
        ("acetylcysteine 10 % 3 mL by nebulizer", ("acetylcysteine-20pct",), "is 200 mg per mL, 2 times stronger."),
        # of a whole catalogue the nearest strength is told
        ("albuterol 1 % 0.5 mL by nebulizer to 3 mL", (), "is 5 mg per mL, 2 times weaker."),
        ("albuterol 100 units/mL 1 mL by nebulizer", (BOTTLE,), "on the bench, is 5 mg per mL."),
    ],
)
def test_another_strength_of_the_drug_is_stopped_and_told(text: str, idents: tuple[str, ...], says: str) -> None:
    plan = made(text, *idents)
    finding = found(plan, RULE)
    assert (plan.status, finding.level, finding.waiver) == (Status.STOPPED, Level.STOP, Waiver.NOBODY)
    assert finding.says.endswith(says)
    assert (
        plan.ways_out[0]
        == finding.do
        == "Take the strength that is ordered, or ask the prescriber for the dose in an amount."
    )
    assert finding.origin.source in BOOK.sources
    assert len(finding.says.split()) <= 40


@pytest.mark.parametrize(
    ("text", "idents"),
    [
        ("albuterol 0.5 % 0.5 mL by nebulizer to 3 mL", (BOTTLE, UNIT_DOSE)),
        ("albuterol 0.083 % 3 mL by nebulizer", (BOTTLE, UNIT_DOSE)),
        ("albuterol 2.5 mg by nebulizer to 3 mL", (BOTTLE,)),
    ],
)
def test_where_one_container_prints_it_nothing_is_said(text: str, idents: tuple[str, ...]) -> None:
    assert RULE not in rules(ready(text, *idents))


def test_another_drug_on_the_bench_is_no_other_strength() -> None:
    assert RULE not in rules(made("albuterol 5 % 0.5 mL by nebulizer to 3 mL", have=bench("ipratropium-500mcg-2.5ml")))
