"""The preparation sheet tells how long the fill will run: of the kind, of a nebulizer that was measured here, or nothing."""

from dataclasses import replace

from drawndose.bench.plan_data import plan_data
from drawndose.bench.plans import Plan
from drawndose.department.printing import preparation_sheet, sheet_of_plan
from drawndose.department.printing import specimens as made_up
from drawndose.reference import Nebulizer, read_instruments
from tests.bench.benches import BOTTLE, made
from tests.department.printing.reading import bare, told

SPAN = 'source = "common-practice", at = "sheet 9", how = "computed" }'
OURS = read_instruments(
    f'[[nebulizer]]\nid = "ours"\nname = "our jet"\nkind = "small-volume jet"\nresidual = {{ from = "1 mL", to = "1 mL", {SPAN}\n'
    f'output = {{ from = "0.4 mL/min", to = "0.4 mL/min", {SPAN}\n'
    'source = "common-practice"\nat = "sheet 9"\nhow = "computed"\n',
    "ours.toml",
).nebulizers


def facts(plan: Plan, nebulizers: tuple[Nebulizer, ...] = ()) -> dict[str, str]:
    sheet = sheet_of_plan(plan, made_up.the_lines(plan), person="x", printed="y", nebulizers=nebulizers)
    return dict(sheet.facts)


def test_the_time_of_the_kind_stands_on_the_sheet_and_on_its_paper() -> None:
    plan = made_up.the_plan()
    before = plan_data(plan)
    sheet = sheet_of_plan(plan, made_up.the_lines(plan), person=made_up.PERSON, printed="Printed 25 Nov 2026 14:05")
    time = dict(sheet.facts)["Expected time"]
    assert time == "1 to 9 min by a small-volume jet nebulizer: a range, not a measurement of this patient"
    assert bare(time) in bare("".join(told(preparation_sheet(sheet).pdf)))
    assert plan_data(plan) == before


def test_a_nebulizer_that_was_measured_here_stands_before_its_kind() -> None:
    assert facts(made_up.the_plan(), OURS)["Expected time"].startswith("5 min by our jet: ")


def test_hours_are_told_as_hours() -> None:
    plan = made("10 mg/h albuterol by large-volume nebulizer for 8 h, output 25 mL/h", BOTTLE, cup="reservoir-240")
    assert facts(plan)["Expected time"].startswith("about 7.2 to 7.8 h by a large-volume")


def test_where_all_may_stay_in_the_cup_no_time_is_told() -> None:
    plan = made("albuterol 2.5 mg by jet nebulizer, made up to 3 mL", BOTTLE)
    assert plan.fill is not None
    little = replace(plan, fill=replace(plan.fill, in_hand=None, drawn=None, whole=0))
    assert "Expected time" not in facts(little)
    assert "In the cup" in facts(little)
