"""Continuous nebulizing, a pump-fed cup and gas out of boxes: the sums, and every fault by its box."""

from datetime import UTC, datetime
from fractions import Fraction

import pytest

from drawndose.bench.findings import Level
from drawndose.quantities import Refused
from drawndose.science.aerosol.continuous import rate_by_weight, refills
from drawndose.science.aerosol.hours import read_hours, read_pump_fed
from drawndose.science.aerosol.supply import read_supply

ASKED = {"rate": "10 mg/h", "output": "30 mL/h", "hours": "8 h", "stock": "5 mg/mL", "dead": "10 mL"}
PUMP = {"fed": "1 mg/mL", "feed": "10 mL/h", "cup": "2 mL", "water": "30 %"}
EIGHT = datetime(2026, 11, 25, 8, tzinfo=UTC)


def said(boxes: dict[str, str], read: object = read_hours) -> list[str]:
    with pytest.raises(Refused) as refused:
        read(boxes)  # type: ignore[operator]
    return [str(fault) for fault in refused.value.faults]


def test_a_recipe_is_exact() -> None:
    found = read_hours(ASKED)
    assert (found.recipe.total_mL, found.recipe.stock_mL) == (250, Fraction(50, 3))
    assert found.recipe.stock_mL + found.recipe.diluent_mL == found.recipe.total_mL
    assert found.recipe.stock_mL * 5 == found.recipe.drug_mg
    assert (found.lasts_h, found.true_mg_h, found.left_h, found.refills) == (8, None, None, ())
    assert [name for name, _ in found.rows] == [
        "dose an hour", "strength", "in all", "drug in it", "of it stock", "diluent", "one filling lasts",
    ]  # fmt: skip
    assert any("4 to 6 %" in line for line in found.says)


def test_the_true_dose_follows_the_true_output_and_a_miss_is_cautioned() -> None:
    found = read_hours(ASKED | {"true_output": "24 to 36 mL/h"})
    assert found.true_mg_h == (8, 12)
    assert [one.level for one in found.findings] == [Level.NOTE]
    off = read_hours(ASKED | {"true_output": "36 to 42 mL/h"})
    assert off.findings[0].level is Level.CAUTION
    assert off.findings[0].says == "The output is 30 mL per h; it may really be 36 mL per h to 42 mL per h."


def test_what_is_left_and_when_to_fill_anew() -> None:
    found = read_hours(ASKED | {"hours": "2 h", "left": "40 mL", "early": "15 min"}, EIGHT)
    rows = dict(found.rows)
    assert (found.left_h, rows["what is left lasts"]) == (1, "1 h")
    assert [f"{one:%H:%M}" for one in found.refills] == ["08:45"]
    assert rows["fill anew at"] == "25 Nov 2026 08:45"
    empty = read_hours(ASKED | {"left": "5 mL", "early": "15 min"}, EIGHT)
    assert empty.refills[0] == EIGHT
    assert read_hours(ASKED, EIGHT).refills == ()
    unsaid = read_hours(ASKED | {"hours": "10 h", "left": "100 mL", "early": "15 min"})
    assert (unsaid.refills, dict(unsaid.rows)["fill anew after"]) == ((), "2 h 45 min")
    assert dict(read_hours(ASKED | {"left": "5 mL"}).rows)["fill anew after"] == "0 min"
    assert [f"{one:%H:%M}" for one in refills(EIGHT, Fraction(2), EIGHT.replace(hour=12), 0, Fraction(1))] == [
        "09:00",
        "11:00",
    ]
    with pytest.raises(Refused, match="a filling lasts longer"):
        list(refills(EIGHT, Fraction(1, 10), EIGHT.replace(hour=12), 10))


def test_a_dose_by_weight_says_which_limit_acted() -> None:
    by_weight = ASKED | {"rate": "0.3 mg/kg/h", "least": "5 mg/h", "most": "10 mg/h"}
    told = {
        weight: dict(read_hours(by_weight | {"weight": weight}).rows)["dose an hour"]
        for weight in ("12 kg", "20 kg", "40 kg")
    }
    assert told == {"12 kg": "5 mg per h, the least acts", "20 kg": "6 mg per h", "40 kg": "10 mg per h, the most acts"}
    assert rate_by_weight(Fraction(1), Fraction(3)) == (3, "")


def test_preservative_goes_with_the_drug() -> None:
    assert read_hours(ASKED | {"preservative": "0.1 mg/mL"}).preservative_mcg_h == 200
    assert dict(read_hours(ASKED | {"preservative": "100 mcg/mL"}).rows)["preservative an hour"] == "200 mcg per h"


@pytest.mark.parametrize(
    ("boxes", "wanted"),
    [
        ({}, ["rate: it is needed", "output: it is needed", "hours: it is needed", "stock: it is needed"]),
        (ASKED | {"rate": "10 mg"}, ["rate: a value in mg/h is wanted"]),
        (ASKED | {"rate": "ten"}, ["rate: "]),
        (ASKED | {"weight": "20 kg"}, ["weight: it goes with a dose for each kg"]),
        (ASKED | {"rate": "0.3 mg/kg/h"}, ["weight: it is needed"]),
        (ASKED | {"rate": "0.3 mg/kg/h", "weight": "20 kg", "least": "10 mg/h", "most": "5 mg/h"}, ["least_mg_h: a range goes up"]),
        (ASKED | {"rate": "10 mg/kg"}, ["rate: a value in mg/kg/h is wanted", "weight: it is needed"]),
        (ASKED | {"rate": "200 mg/h"}, ["rate_mg_h: the mixture would have to be stronger"]),
        (ASKED | {"output": "0 mL/h"}, ["output_mL_h: the output lies outside"]),
        (ASKED | {"true_output": "50 to 40 mL/h"}, ["true_output: a range goes up"]),
        (ASKED | {"colour": "red", "early": "x" * 101}, ["colour: a box is known", "early: a box is known"]),
    ],
)  # fmt: skip
def test_every_fault_of_hours_is_named_by_its_box(boxes: dict[str, str], wanted: list[str]) -> None:
    found = said(boxes)
    assert all(any(one.startswith(start) for one in found) for start in wanted), found


def test_a_pump_fed_cup() -> None:
    found = read_pump_fed(PUMP)
    assert found.cup_mg_mL == pytest.approx(10 / 7)
    assert dict(found.rows) == {
        "cup comes to": "1.4 mg/mL",
        "leaves in an hour, at most": "10 mg",
        "measured of one such": "5.3 to 6.4 mg/h",
        "settled after": "0.9 h",
    }
    assert [one.level for one in found.findings] == [Level.CAUTION]
    assert any(
        one.startswith("most_mL_h: the nebulizer must be able")
        for one in said(PUMP | {"most": "8 mL/h"}, read_pump_fed)
    )
    assert read_pump_fed(PUMP | {"most": "20 mL/h"}).rate_mg_h == 10.0
    assert len(said({}, read_pump_fed)) == 4


def test_a_cylinder_lasts_and_a_job_needs() -> None:
    rows = dict(read_supply({"cylinder": "e", "pressure": "2,000 psi", "flow": "8 L/min", "job": "15 min"}).rows)
    assert rows == {"reserve": "200 psi", "lasts": "63 min", "needs at least": "630 psi"}
    own = dict(
        read_supply({"cylinder": "0.16 L/psi", "pressure": "2000 psi", "flow": "0.5 L/min", "reserve": "200 psi"}).rows
    )
    assert own["lasts"] == "576 min"
    assert dict(read_supply({"cylinder": "E", "pressure": "100 psi", "flow": "8 L/min"}).rows)["lasts"] == "0 min"
    cut = dict(read_supply({"cylinder": "E", "pressure": "1,000 psi", "flow": "9 L/min"}).rows)
    assert cut["lasts"] == "24 min"  # 24.9: cut, which is the early side


def test_heliox_goes_by_its_actual_flow() -> None:
    rows = dict(read_supply({"cylinder": "H", "pressure": "2,000 psi", "flow": "10 L/min", "heliox": "80/20"}).rows)
    assert (rows["actual flow"], rows["lasts"]) == ("18 L/min", "314 min")


def test_a_source_that_gives_too_little_is_cautioned() -> None:
    weak = read_supply({"gives": "4 L/min"})
    assert [one.level for one in weak.findings] == [Level.CAUTION]
    assert len(f"{weak.findings[0].says} {weak.findings[0].do}".split()) <= 40
    assert read_supply({"gives": "6 L/min", "nebulizer": "jet"}).findings == ()
    assert dict(read_supply({"gives": "6 L/min"}).rows)["gives"] == "6 L/min, of 6 to 8 L/min"


def test_air_with_oxygen() -> None:
    rows = dict(read_supply({"air": "8 L/min", "oxygen": "2 L/min"}).rows)
    assert rows["oxygen in the mixture"] == "about 37 %, before the breath thins it"


@pytest.mark.parametrize(
    ("boxes", "wanted"),
    [
        ({}, ["gas: nothing was asked"]),
        ({"flow": "8 L/min"}, ["gas: nothing was asked"]),
        ({"cylinder": "E"}, ["flow: it is needed", "pressure: a pressure or a job"]),
        ({"cylinder": "Z", "pressure": "2000 psi", "flow": "8 L/min"}, ["cylinder: "]),
        ({"cylinder": "E", "pressure": "2000 psi", "flow": "0 L/min"}, ["flow: a flow of more than 0"]),
        ({"cylinder": "E", "pressure": "9000 psi", "flow": "8 L/min"}, ["psi: the pressure lies outside"]),
        ({"cylinder": "E", "job": "9000 min", "flow": "8 L/min"}, ["minutes: the time lies outside"]),
        ({"cylinder": "E", "pressure": "200 bar", "flow": "8 L/min"}, ["pressure: a value in psi"]),
        ({"pressure": "2000 psi", "job": "15 min"}, ["pressure: it goes with a cylinder", "job: it goes with a cylinder"]),
        ({"heliox": "80-20"}, ["flow: it is needed"]),
        ({"flow": "8 L/min", "heliox": "90-10"}, ["heliox: no mixture"]),
        ({"flow": "40 L/min", "heliox": "80-20"}, ["read_L_min: "]),
        ({"air": "8 L/min"}, ["oxygen: it is needed"]),
        ({"air": "0 L/min", "oxygen": "0 L/min"}, ["air_L_min: no gas flows"]),
        ({"nebulizer": "jet"}, ["gives: it is needed"]),
        ({"gives": "5 L/min", "nebulizer": "spoon"}, ["nebulizer: no nebulizer has this id"]),
        ({"gives": "5 L/min", "nebulizer": "mesh"}, ["nebulizer: no gas drives a mesh"]),
    ],
)  # fmt: skip
def test_every_fault_of_gas_is_named_by_its_box(boxes: dict[str, str], wanted: list[str]) -> None:
    found = said(boxes, read_supply)
    assert all(any(one.startswith(start) for one in found) for start in wanted), found
