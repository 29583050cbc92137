"""The table of instruments, and instruments of a department's own."""

import json
from pathlib import Path

import pytest

from drawndose.cli import main

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
