"""The small sums beside the aerosol page: each answers in a table, refuses with the box named, and is in the address."""

import re
from html import unescape
from typing import Any
from urllib.parse import parse_qsl

import pytest

from drawndose.reference import load
from tests.department.scene import scene
from tests.pages import client, django, words

RUNS = "20.00 23.00 21.10 5.5\n20.00:23.01:21.02:5.9\n20.01 23.02 21.06 5.4"
HOURS = {"rate": "10 mg/h", "output": "30 mL/h", "hours": "8 h", "stock": "5 mg/mL", "dead": "10 mL"}
IDENTS = ("weigh", "hours", "pump", "gas", "settle")


def page(what: str, query: dict[str, str] | None = None) -> str:
    answer = client().get(f"/aerosol/{what}/", query or {}, headers={"host": "127.0.0.1"})
    assert answer.status_code == 200
    return answer.content.decode()  # type: ignore[no-any-return]


def rows(text: str) -> dict[str, str]:
    (found,) = re.findall(r'<dl class="facts-list bands sum-rows">(.*?)</dl>', text, re.DOTALL)
    return {words(one): words(said) for one, said in re.findall(r"<dt>(.*?)</dt><dd>(.*?)</dd>", found, re.DOTALL)}


def known(what: str) -> Any:
    django()
    from drawndose.department.web.aerosol_sums import BY_IDENT

    return BY_IDENT[what]


@pytest.mark.parametrize("what", IDENTS)
def test_as_it_comes_nothing_was_asked_and_its_example_is_answered(what: str) -> None:
    text = page(what)
    assert "Nothing was asked yet." in words(text)
    assert "sum-rows" not in text
    (example,) = re.findall(rf'href="/aerosol/{what}/\?([^"]+)"', text)
    shown = page(what, dict(parse_qsl(unescape(example))))
    assert len(rows(shown)) >= 3
    assert 'id="faults"' not in shown
    for other in {*IDENTS} - {what}:
        assert f'href="/aerosol/{other}/"' in text
    assert f'href="/aerosol/{what}/"' in client().get("/aerosol/").content.decode()


@pytest.mark.parametrize("what", IDENTS)
def test_boxes_are_those_of_the_science_and_every_fault_has_its_box(what: str) -> None:
    from drawndose.science.aerosol import (
        continuous,
        gas,
        hours,
        measured,
        pump_fed,
        settle,
        supply,
        task_group,
        weigh_boxes,
    )

    boxes = {
        "weigh": weigh_boxes.BOXES,
        "hours": hours.BOXES,
        "pump": hours.PUMP_BOXES,
        "gas": supply.BOXES,
        "settle": settle.BOXES,
    }
    own = {"runs", "name", "at"} if what == "weigh" else set()
    one = known(what)
    assert {name for name, _, _ in one.boxes} - own == set(boxes[what])
    ranges: dict[str, set[str]] = {
        "weigh": {"density_g_mL", "step_g", "judged_min"} & set(measured.VALID),
        "hours": set(continuous.VALID),
        "pump": set(pump_fed.VALID) - {"start_mg_mL", "hours"},
        "gas": set(gas.VALID) - {"helium"},
        "settle": {"size_um", "tidal_mL", "drawn_mL_s"} & set(task_group.VALID),
    }
    assert ranges[what]
    assert [name for name in ranges[what] if not one.box_of(name)] == []


@pytest.mark.parametrize(
    ("what", "query", "box", "says"),
    [
        ("weigh", {"runs": "20 23"}, "runs", "a run is dry, filled and after"),
        ("weigh", {"runs": "20 19 21 5"}, "runs", "it weighs least dry"),
        ("weigh", {"runs": RUNS, "step": "5 g"}, "step", "lies outside the range"),
        ("weigh", {"runs": RUNS, "name": "a; b"}, "name", "keeps off its signs"),
        ("weigh", {"name": "x"}, "runs", "no run was weighed"),
        ("weigh", {"runs": RUNS, "kind": "kettle"}, "kind", "no nebulizer has this id"),
        ("hours", HOURS | {"rate": "1,000 mg/h"}, "rate", "stronger than the stock"),
        ("hours", HOURS | {"output": "0 mL/h"}, "output", "lies outside the range"),
        ("hours", HOURS | {"true_output": "40 to 20 mL/h"}, "true_output", "a range goes up"),
        ("hours", HOURS | {"stock": "5 mL"}, "stock", "a value in mg/mL is wanted"),
        ("hours", HOURS | {"weight": "20 kg"}, "weight", "it goes with a dose for each kg"),
        ("pump", {"fed": "1 mg/mL"}, "feed", "it is needed"),
        (
            "pump",
            {"fed": "1 mg/mL", "feed": "10 mL/h", "cup": "2 mL", "water": "99 %"},
            "water",
            "lies outside the range",
        ),
        ("gas", {"cylinder": "E", "pressure": "2,000 psi", "flow": "0 L/min"}, "flow", "more than 0"),
        ("gas", {"pressure": "2,000 psi"}, "pressure", "it goes with a cylinder"),
        ("gas", {"heliox": "70-10", "flow": "8 L/min"}, "heliox", "no mixture of this name"),
        ("settle", {"spread": "2"}, "size", "it is needed"),
        ("settle", {"size": "3", "by": "ear"}, "by", "mouth or nose is wanted"),
        ("settle", {"size": "3", "tidal": "10 mL"}, "tidal", "lies outside the range"),
    ],
)
def test_what_cannot_be_is_told_at_its_box_and_there_is_no_number(
    what: str, query: dict[str, str], box: str, says: str
) -> None:
    text = page(what, query)
    assert "sum-rows" not in text
    (at_box,) = re.findall(rf'id="fault-{box}">(.*?)</div>', text, re.DOTALL)
    assert says in words(at_box)
    summary = text.partition('id="faults"')[2]
    assert f'href="#{box}"' in summary
    assert says in words(summary)
    for name, typed in query.items():
        assert unescape(typed) in unescape(text), name


def test_weighings_give_the_text_for_the_setting_which_is_then_on_every_page() -> None:
    text = page("weigh", {"kind": "jet", "runs": RUNS, "name": "Small jet", "at": "sheet 9"})
    found = rows(text)
    assert found["Runs"] == "3"
    assert re.fullmatch(r"[\d.]+ to [\d.]+ mL", found["Stays in the cup"])
    assert found["Of it only water"] == "14 to 46 %, the range of its kind"
    texts = [unescape(one) for one in re.findall(r"<pre[^>]*>(.*?)</pre>", text, re.DOTALL)]
    assert texts[0].startswith("Small jet: jet, residual=")
    from drawndose.department.work.nebulizers import nebulizers

    (one,) = nebulizers(texts[0], "nebulizers")
    low, high = re.findall(r"[\d.]+", found["Stays in the cup"])[:2]
    assert float(one.residual.low) == pytest.approx(float(low), rel=0.02)
    assert float(one.residual.high) == pytest.approx(float(high), rel=0.05)
    from drawndose.reference import read_instruments

    source = '[[source]]\nid = "ours"\ntitle = "x"\nkind = "practice"\nread = 2026-11-25\n'
    assert read_instruments(source + texts[1], "own.toml").nebulizers[0].residual.low == one.residual.low
    measured = page("weigh", {"runs": "20.00 23.00 21.00 5.5 282 432"})
    assert rows(measured)["Of it only water"] == "39 %"
    assert "water=0.388" in measured


def test_the_recipe_its_true_dose_and_when_it_is_filled_anew() -> None:
    found = rows(page("hours", HOURS | {"true_output": "24 to 36 mL/h", "left": "120 mL", "early": "15 min"}))
    assert (found["In all"], found["True dose an hour"]) == ("250 mL", "8 to 12 mg/h")
    assert found["Fill anew after"] == "3 h 25 min"
    now = rows(page("hours", HOURS | {"left": "10 mL"}))
    assert now["Fill anew after"] == "0 min"


def test_pump_gas_and_droplets() -> None:
    pump = page("pump", {"fed": "1 mg/mL", "feed": "10 mL/h", "cup": "2 mL", "water": "30 %"})
    assert rows(pump)["Cup comes to"] == "1.4 mg/mL"
    assert "Take the fed dose as the most that can leave." in words(pump)
    gas = page(
        "gas", {"cylinder": "E", "pressure": "2,000 psi", "flow": "8 L/min", "gives": "5 L/min", "nebulizer": "jet"}
    )
    assert rows(gas)["Lasts"] == "63 min"
    assert "It gives 5 L/min; a small-volume jet nebulizer is made for 6 to 8 L/min." in words(gas)
    assert rows(page("gas", {"flow": "10 L/min", "heliox": "80-20"})) == {"Actual flow": "18 L/min"}
    settle = page("settle", {"size": "3", "by": "nose"})
    assert "short fit 75 to 80 %" in rows(settle)["Nose, mouth and throat"]
    assert settle.count('role="img"') == settle.count("<figure") == 1
    assert "Limit of the model:" in words(settle)


def test_another_name_is_no_page_and_nothing_can_be_sent() -> None:
    assert client().get("/aerosol/kettle/").status_code == 404
    assert client().post("/aerosol/hours/", {}).status_code == 405


def test_what_is_typed_is_escaped_and_cut() -> None:
    text = page("hours", {"rate": "<b>1</b>", "output": "9" * 300})
    assert "<b>1</b>" not in text
    assert "9" * 201 not in text


@pytest.mark.usefixtures("storage")
def test_own_nebulizers_stand_on_the_aerosol_page_the_bench_and_the_gas_page() -> None:
    from drawndose.department.web.after_filling import after_filling
    from drawndose.department.work.policy import choose
    from tests.bench.benches import BOTTLE, made

    on = scene()
    text = "Small jet: jet, residual=1 mL, output=0.4 mL/min, at=sheet 9"
    choose("nebulizers", text, reason="weighed", by=on.cleo)
    asked = client().get("/aerosol/", {"a-kind": "small-jet", "a-fill": "3 mL"}).content.decode()
    assert '<option value="small-jet" selected>Small jet, measured here</option>' in asked
    assert "5 min to the first sputter" in words(asked)
    assert "weighed in this department, sheet 9 [computed]." in words(asked)
    told = after_filling(made("albuterol 2.5 mg by jet nebulizer, made up to 3 mL", BOTTLE), load())
    assert told is not None
    assert (told.time, told.leads) == ("5 min", "?a-kind=small-jet&a-fill=3+mL")
    assert '<option value="small-jet">Small jet, measured here</option>' in page("gas")


def test_without_a_storage_there_are_none_and_none_is_made(monkeypatch: pytest.MonkeyPatch, tmp_path: Any) -> None:
    django()
    from django.db import OperationalError, connection

    from drawndose.department.web import own

    def refuses() -> None:
        raise OperationalError("no such table")

    monkeypatch.setattr(own.policy, "own_nebulizers", refuses)
    assert own.own_nebulizers() == ()
    if connection.vendor == "sqlite":
        nowhere = tmp_path / "nowhere.sqlite3"
        monkeypatch.setitem(connection.settings_dict, "NAME", str(nowhere))
        monkeypatch.setattr(own.policy, "own_nebulizers", lambda: pytest.fail("a storage was looked into"))
        assert own.own_nebulizers() == ()
        assert not nowhere.exists()
