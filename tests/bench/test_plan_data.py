"""A plan as plain data: every number exact, and nothing to draw in a plan that is not ready."""

import json
from datetime import UTC, datetime

import pytest

from drawndose import plan
from drawndose.bench.plan_data import SCHEMA, instrument_data, plan_data
from drawndose.quantities import Quantity
from tests.bench.benches import BOOK, BOTTLE, EXAMPLES, amount, bench, made, order, ready, tools

# ----------------------------------------------------------------------------------------------- plain data


@pytest.mark.parametrize(("text", "idents", "cup"), EXAMPLES, ids=[text for text, _, _ in EXAMPLES])
def test_a_plan_becomes_plain_data_that_json_takes(text: str, idents: tuple[str, ...], cup: str) -> None:
    data = json.loads(json.dumps(plan_data(ready(text, *idents, cup=cup))))
    assert (data["schema"], data["status"]) == (SCHEMA, "ready")
    assert len(data["draws"]) >= 1


def test_data_of_a_plan_say_the_numbers_exactly() -> None:
    plan_of = plan(
        order("albuterol 2.5 mg by nebulizer to 3 mL"),
        containers=bench(BOTTLE),
        instruments=tools(),
        started=datetime(2026, 11, 26, 13, 5, tzinfo=UTC),
    )
    data = plan_data(plan_of)
    (drawn,) = data["draws"]
    assert drawn["amounts"] == [{"value": "2.5", "unit": "mg", "text": "2.5 mg", "of": "albuterol"}]
    assert drawn["measured"]["permissible_error"]["value"] == "0.075"
    assert drawn["risk"] == "3/20"
    assert data["concentrations"][0]["value"] == "5/6"
    assert data["limit"]["until"] == "2026-11-26T14:05+00:00"
    assert data["order"]["fill"]["rule"] == "to a total"


def test_data_of_a_plan_that_is_not_ready_hold_nothing_to_draw() -> None:
    data = plan_data(made("levalbuterol 0.5 mg by nebulizer", "levalbuterol-0.63mg-3ml", using=("syringe-5-oral",)))
    assert (data["draws"], data["fill"], data["limit"], data["steps"]) == ([], None, None, [])
    assert data["choices"][0]["instrument"] == "syringe-5-oral"
    asked = plan_data(made("albuterol by nebulizer", BOTTLE))
    assert asked["doses"][0]["amount"] is None
    assert plan_data(made("albuterol 2.5 mg by nebulizer", BOTTLE, cup=""))["cup"] is None


def test_data_of_an_order_keep_everything_that_was_read() -> None:
    text = (
        "albuterol 0.5 % 0.15 mg/kg min 2.5 mg max 5 mg by nebulizer every 4 hours as needed, made up to 3 mL, "
        "weight 20 kg, age 6 years"
    )
    told = plan_data(made(text, BOTTLE))["order"]
    (line,) = told["drugs"]
    assert (line["drug"], line["counted_as"], line["strength"]["text"]) == (
        "albuterol",
        "albuterol",
        "0.5 % (5 mg per mL)",
    )
    assert (line["minimum"]["text"], line["maximum"]["text"]) == ("2.5 mg", "5 mg")
    assert (told["weight"]["value"], told["age"]["unit"]) == ("20", "year")
    assert "".join(piece["text"] for piece in told["reading"]) in text.replace("nothing", "") or told["reading"]


def test_data_of_an_instrument_are_its_scale() -> None:
    data = instrument_data(BOOK.instrument("dropper-0.25-0.5"))
    assert [mark["text"] for mark in data["marks"]] == ["0.25 mL", "0.5 mL"]
    assert data["kind"] == "dropper"


def test_a_first_dilution_is_told_with_all_three_volumes() -> None:
    (drawn,) = plan_data(ready("albuterol 0.15 mg by nebulizer to 3 mL", BOTTLE))["draws"]
    assert [drawn["first_dilution"][part]["asked"]["text"] for part in ("stock", "total", "part")] == [
        "0.5 mL",
        "10 mL",
        "0.6 mL",
    ]


def test_an_additive_that_runs_for_hours_is_told_by_the_hour() -> None:
    plan_of = ready("10 mg/h albuterol by nebulizer for 4 h, output 25 mL/h", BOTTLE, cup="reservoir-240")
    (told,) = plan_data(plan_of)["additives"]
    assert (told["amount"]["text"], told["per_hour"]["text"]) == ("800 mcg", "200 mcg per h")
    assert plan_of.additives[0].amount == amount(800, "mcg", "benzalkonium chloride")
    assert Quantity.of_text(200, "mcg/h", "benzalkonium chloride") == plan_of.additives[0].per_hour
