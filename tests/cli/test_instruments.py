"""The table of instruments, and instruments of a department's own."""

import json
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from drawndose.cli import main
from drawndose.cli.instrument_list import _unit_dose
from drawndose.reference import load

OWN = """
[[source]]
id = "own-calibration"
title = "Own calibration of an invented pipette"
kind = "practice"
read = 2026-11-25

[[tolerance]]
id = "own"
below_half_of_capacity = "0.5 %"
below_half_of_volume = "1 %"
from_half_of_volume = "2 %"
source = "own-calibration"
at = "sheet 1"
how = "read"

[[syringe]]
id = "own-pipette"
name = "own 0.5 mL pipette"
capacity = "0.5 mL"
step = "0.01 mL"
numbered = "0.1 mL"
tips = ["oral"]
tolerance = "own"
source = "own-calibration"
at = "sheet 1"
how = "read"
"""


def test_the_table_has_a_row_for_each_capacity_and_says_its_limit(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["instruments"]) == 0
    out = capsys.readouterr().out
    assert out.count("mL syringe") == 9
    assert "limit 10 %" in out
    assert "0.1875 mL" in out


def test_own_instruments_stand_in_the_table_and_on_the_bench(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ours = tmp_path / "ours.toml"
    ours.write_text(OWN, encoding="utf-8")
    assert main(["instruments", "--own", str(ours), "--volume", "0.4 mL", "--tips", "--json"]) == 0
    rows = {row["instrument"]: row for row in json.loads(capsys.readouterr().out)["rows"]}
    assert rows["own-pipette-oral"]["cells"] == [{"fit": "acceptable", "share": "1/50"}]
    order = "albuterol 2 mg by nebulizer, made up to 3 mL"
    words = ["plan", order, "--have", "albuterol-0.5pct-bottle-20ml", "--own", str(ours), "--json"]
    assert main(words) == 0
    made = json.loads(capsys.readouterr().out)
    assert made["draws"][0]["measured"]["instrument"] == "own-pipette-oral"


def test_every_fault_of_an_own_file_is_named_with_its_key(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    ours = tmp_path / "ours.toml"
    ours.write_text(
        OWN.replace('step = "0.01 mL"', 'stepp = "0.01 cc"').replace('at = "sheet 1"', ""), encoding="utf-8"
    )
    assert main(["instruments", "--own", str(ours)]) == 2
    err = capsys.readouterr().err
    assert "ours.syringe[0].step: a volume is needed" in err
    assert "ours.syringe[0].stepp: the key is not known here" in err
    assert "ours.tolerance[0].at: a text is needed" in err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--limit", "5 mL"], "limit: the limit is a share"),
        (["--volume", "2 mg"], "volume: a volume is wanted"),
        (["--own", "there-is-no-such-file.toml"], "own: "),
    ],
)
def test_what_is_not_understood_is_2(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["instruments", *words]) == 2
    assert said in capsys.readouterr().err


def test_one_instrument_is_told_in_full_with_the_lines_around_a_volume(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["instruments", "3 mL syringe, oral tip", "--volume", "0.35 mL", "--strength", "5 mg/mL"]) == 0
    out = capsys.readouterr().out
    assert "27 mm from 0 to 3 mL  [ISO 7886-1:1993, Table 1, least scale length, 2 to under 5 mL; from memory]" in out
    assert "below half of the capacity 1.5 % of the capacity + 2 % of the volume, from half up 5 % of the volume" in out
    assert "10 %     from 0.5625 mL up" in out
    assert "0.35 mL has no line: choose one of its neighbours" in out
    assert "gives 1.5 mg, about 14.3 % less" in out
    assert "may be off by 0.051 mL either way, 17 % of this volume, 0.255 mg of this dose" in out
    assert "estimated half line, one reading: off by at most 0.025 mL" in out
    assert "difference of two readings: off by at most 0.1 mL" in out


def test_a_volume_between_two_marks_states_both(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["instruments", "syringe-3", "--volume", "0.4 mL", "--from", "3 mL"]
    assert main(words) == 0
    out = capsys.readouterr().out
    assert "0.4 mL has its own line" in out
    assert "both marks together 0.28 mL, 70 % of this volume" in out
    assert main([*words, "--strength", "5 mg/mL"]) == 0
    assert "70 % of this volume, 1.4 mg of this dose" in capsys.readouterr().out
    assert main([*words, "--strength", "5 mg/mL", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["differences"][0] | {"says": ""} == {"from": "3", "to": "13/5", "error": "7/25", "says": ""}
    (line,) = data["volumes"][0]["lines"]
    assert (line["error"], line["share"], line["error_amount"]["value"]) == ("53/1000", "53/400", "0.265")


def test_a_dropper_and_a_cylinder_are_told_by_their_own_rules(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["instruments", "dropper-0.25-0.5", "--volume", "0.3 mL"]) == 0
    out = capsys.readouterr().out
    assert "marks at 0.25 mL, 0.5 mL, and nothing between" in out
    assert "5 %      never within it" in out
    assert "about 66.7 % more" in out
    assert main(["instruments", "cylinder-100", "--volume", "15 mL", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["smallest"] == {"1/20": "20", "1/10": "10"}
    assert main(["instruments", "cylinder-100", "--volume", "15 mL"]) == 0
    assert "caution  under 20 % of what it holds" in capsys.readouterr().out


def test_a_calibration_is_told_with_its_day_and_its_people(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    ours = tmp_path / "ours.toml"
    point = '[[syringe.calibration.point]]\nset = "0.4 mL"\ndelivered = "0.398 mL"\nuncertainty = "0.001 mL"\n'
    ours.write_text(f'{OWN}[syringe.calibration]\non = 2026-11-20\nby = "lab"\n{point}', encoding="utf-8")
    assert main(["instruments", "own-pipette-oral", "--own", str(ours)]) == 0
    out = capsys.readouterr().out
    assert "found    by lab, 20 Nov 2026:" in out
    assert "set 0.4 mL, delivered 0.398 mL, standard uncertainty 0.001 mL" in out


def test_a_dropper_that_is_within_the_limit_is_so_at_every_mark(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ours = tmp_path / "ours.toml"
    dropper = OWN.replace("[[syringe]]", "[[dropper]]").replace('numbered = "0.1 mL"\ntips = ["oral"]\n', "")
    dropper = (
        dropper.replace('step = "0.01 mL"', 'marks = ["0.5 mL"]').replace("0.5 %", "0 %").replace('"1 %"', '"2 %"')
    )
    ours.write_text(dropper, encoding="utf-8")
    assert main(["instruments", "own-pipette", "--own", str(ours)]) == 0
    assert "5 %      at every mark" in capsys.readouterr().out


def test_all_measures_stand_in_the_table_when_they_are_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["instruments", "--all", "--volume", "20 mL"]) == 0
    out = capsys.readouterr().out
    assert "100 mL graduated cylinder" in out
    assert "1 mL syringe marked every 0.02 mL" in out


def test_everything_on_a_bench_is_listed_with_its_id(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["catalogue", "instruments"]) == 0
    out = capsys.readouterr().out
    assert "3 mL syringe, luer slip: marks every 0.1 mL, numbers every 0.5 mL, up to 3 mL" in out
    assert "21 G needle, 38 mm, lumen about 0.00788 mL, hub about 0.0421 mL, keeps 0.05 mL" in out
    assert "filter straw, what it keeps was not found: weigh it" in out
    assert "usual excess not found: weigh it, stays behind not found: weigh it" in out
    assert "precision balance, step 1 mg, repeats within 1 mg (from memory)" in out
    assert "class III (formerly class A), repeatability not known" in out
    assert "cup-6                      holds 6 mL, works from 3 mL" in out
    assert main(["catalogue", "instruments", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert {one["id"]: one["scale_length_mm"] for one in data["measures"]}["syringe-10"] == "44"
    assert {one["id"]: one["keeps"] for one in data["needles"]}["filter-needle"] is None
    assert {one["id"]: one["repeatability"] for one in data["balances"]}["balance-class-iii"] is None
    assert data["unit_doses"] == [{"id": "plastic-unit-dose", "nominal": None, "excess": None, "stays": None}]


def test_a_unit_dose_that_was_weighed_is_listed_with_its_figures() -> None:
    known = replace(load().unit_doses[0], nominal=Fraction(3), excess=Fraction(1, 5), stays=Fraction(1, 10))
    assert _unit_dose(known).endswith("nominal 3 mL, usual excess 0.2 mL, stays behind 0.1 mL")


def test_a_capacity_alone_is_asked_back_at_the_bench_too(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["plan", "albuterol 2 mg by nebulizer, made up to 3 mL", "--have", "albuterol-0.5pct-bottle-20ml"]
    assert main([*words, "--with", "1 mL syringe", "--with", "9 mL syringe"]) == 2
    err = capsys.readouterr().err
    assert "read scale and tip on yours" in err
    assert "no instrument here is called so" in err
    assert main([*words, "--with", "1 mL syringe marked every 0.05 mL, oral tip", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["draws"][0]["measured"]["instrument"] == "syringe-1-step-0.05-oral"


def test_a_needle_that_is_named_leaves_the_usual_instruments_there(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["plan", "acetylcysteine 600 mg by nebulizer", "--have", "acetylcysteine-20pct", "--with", "needle-21g"]
    assert main([*words, "--json"]) == 0
    (draw,) = json.loads(capsys.readouterr().out)["draws"]
    assert draw["needle"]["needle"] == "needle-21g"
    assert draw["measured"]["instrument"].startswith("syringe-")
    assert main(words) == 0
    assert "of this volume" in capsys.readouterr().out


def test_every_change_of_needle_is_told_for_a_volume(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["instruments", "syringe-1", "--volume", "0.5 mL", "--volume", "0.05 mL", "--needle", "needle-21g"]
    assert main(words) == 0
    out = capsys.readouterr().out
    assert "0.5 mL with the 21 G needle, 38 mm, which keeps 0.05 mL; the syringe's nozzle up to 0.07 mL" in out
    assert "dry needle put on after the line was set: 0.45 mL reaches the cup, 0.05 mL less than the line." in out
    assert "when the next liquid was drawn: 0.62 mL reaches the cup, 0.12 mL more than the line.\n" in out
    assert (
        "new needle filled first, then the line set: 0.5 mL reaches the cup. The container gives 0.17 mL beside it."
        in out
    )
    assert (
        "dry needle put on after the line was set: a dry needle that keeps 0.05 mL would swallow the whole dose." in out
    )
    assert main([*words, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)["needle_changes"]
    assert len(told) == 14
    assert [one["delivered"] for one in told if "dry needle" in one["case"] and "delivered" in one] == ["9/20"]
    assert sum("refused" in one for one in told) == 1


@pytest.mark.parametrize(
    ("needle", "rule"),
    [("filter-needle", "what it keeps was not found: weigh it"), ("nail", "there is no such needle here")],
)
def test_a_needle_without_a_figure_is_refused(needle: str, rule: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["instruments", "syringe-1", "--volume", "0.5 mL", "--needle", needle]) == 2
    assert rule in capsys.readouterr().err


def test_a_needle_goes_on_a_luer_tip_only(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["instruments", "syringe-1-oral", "--volume", "0.5 mL", "--needle", "needle-21g"]) == 2
    assert "a needle goes on a luer tip" in capsys.readouterr().err
