"""Weighing on the command line: what was drawn, judged; and nothing read by half."""

import io
import json
import shlex
from pathlib import Path

import pytest

from drawndose.cli import main
from drawndose.cli.weigh import _EXAMPLES

THREE = ["0.4962", "0.5021", "0.4988"]


def weigh(*words: str, target: str = "0.5 mL") -> int:
    return main(["weigh", "--target", target, *words])


def test_each_draw_is_judged_with_its_chance_and_guard_band_and_the_series_says_what_it_shows(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert weigh(*THREE) == 0
    out = capsys.readouterr().out
    assert "  1  0.4977 mL ± 0.0006 mL, −0.5 %: within; conforms with over 99.99 %; guard band 0.0006 mL\n" in out
    assert out.count(": within; conforms with ") == 3
    assert "3 within. ± is the expanded uncertainty with 95.45 %." in out
    assert "Spread 0.59 % of the mean; with 95 % between 0.31 % and 3.7 %." in out
    assert "Inside 5 %, the next draw: within; 3 such draws would have been enough." in out
    assert "Not counted: calibration of the balance" in out
    assert "Not said, so taken: a display in steps of 0.1 mg" in out
    assert "For 0.5 mL this balance is good enough; its smallest net mass is 400 mg, about 0.4 mL." in out


def test_a_draw_outside_gives_status_1(capsys: pytest.CaptureFixture[str]) -> None:
    assert weigh("0.40") == 1
    out = capsys.readouterr().out
    assert ": outside; conforms with under 0.01 %" in out
    assert "One draw shows no spread" in out


def test_close_to_the_limit_cannot_be_told_unless_simple_acceptance_takes_the_risk(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert weigh("--within", "0.005 mL", "0.5032") == 1
    assert "cannot be told; conforms with " in capsys.readouterr().out
    assert weigh("--within", "0.005 mL", "--simple", "0.5032") == 0
    out = capsys.readouterr().out
    assert "within; conforms with " in out
    assert "no guard band" in out
    assert "whoever relies on the verdict bears that" in out


def test_drift_blank_expansion_and_instrument_count(capsys: pytest.CaptureFixture[str]) -> None:
    weighed = ["12.3456:12.8421:12.3459", "12.3457:12.8460:12.3459"]
    assert weigh(*weighed, "--blank", "0.6 mg", "--expansion", "0.0003", "--instrument", "syringe-1") == 0
    out = capsys.readouterr().out
    assert "Evaporation: 0.6 mg added back by a blank" in out
    assert "Volume: at 20 degC, expansion 0.0003 per degC." in out
    assert "Not counted: calibration of the balance: check it with a weight." in out
    assert weigh(*weighed, "--minutes", "1.5") == 0
    assert "Evaporation: 1.5 min in the open, counted as doubt" in capsys.readouterr().out
    assert weigh("12.3456:12.8421") == 0
    assert "drift of the balance: read the empty vessel once more" in capsys.readouterr().out


def test_a_doubt_is_told_at_its_draw_or_once_for_all(capsys: pytest.CaptureFixture[str]) -> None:
    assert weigh("--pressure", "760 hPa", "--instrument", "0.5 mL", "0.4962", "0.5201") == 0
    out = capsys.readouterr().out
    assert out.count("look: the pressure may be in mmHg") == 1
    assert "     look at row 2: the weighed volume is more than the instrument holds (came: 0.521 mL;" in out


def test_readings_come_from_a_file_or_from_standard_input(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    text = "\n".join(THREE)
    sheet = tmp_path / "sheet.csv"
    sheet.write_text(text, encoding="utf-8")
    weigh("--json", *THREE)
    by_words = json.loads(capsys.readouterr().out)
    weigh("--json", "--readings", str(sheet))
    by_file = json.loads(capsys.readouterr().out)
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(text.encode())))
    weigh("--json", "--readings", "-")
    assert by_words == by_file == json.loads(capsys.readouterr().out)
    assert [one["call"] for one in by_words["draws"]] == ["within"] * 3
    series = by_words["series"]
    assert series["count"] == 3
    assert series["cv_interval"][0] < series["cv"] < series["cv_interval"][1]
    assert series["shows"] == {"the mean of the draws": "within", "the next draw": "within"}
    assert series["operator"] == {"spread": "0.593 %", "draws": 3}


def test_a_row_of_a_file_keeps_its_number_in_the_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sheet = tmp_path / "sheet.csv"
    sheet.write_text("without (g);with (g)\n12.1;12.6\n12.6;12.1\n12,1;12.6\nwithout;with\n", encoding="utf-8")
    assert weigh("--readings", str(sheet)) == 2
    told = capsys.readouterr()
    assert [line.split(":")[1].strip() for line in told.err.splitlines()] == [
        "row 3, readings", "row 4, without", "row 5, without", "row 5, with",
    ]  # fmt: skip
    assert told.out == ""


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["496"], "some thousand times what was expected"),
        (["0,49"], "a comma stands where a decimal point belongs"),
        (["--temperature", "72", "0.49"], "degrees Fahrenheit"),
        (["--pressure", "200", "0.49"], "600 to 1100 hPa"),
        ([], "as words or as a file"),
        (["--readings", "no-such-file.csv"], "No such file"),
        (["--readings", "x.csv", "0.49"], "as words or as a file"),
        (["--step", "1 mL", "0.49"], "a mass above 0 is wanted"),
        (["--within", "0 %", "0.49"], "a tolerance above 0"),
        (["--liquid", "oil", "0.49"], "density"),
        (["12.3:12.8", "12.3:12.8:12.3"], "row 2: the row has another number of cells"),
    ],
)
def test_a_slip_is_named_and_nothing_is_judged(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert weigh(*words) == 2
    told = capsys.readouterr()
    assert said in told.err
    assert told.out == ""


def test_everything_wrong_is_told_at_once(capsys: pytest.CaptureFixture[str]) -> None:
    assert weigh("--temperature", "72", "--density", "x", "--readings", "no-such-file.csv", target="0.5 mg") == 2
    told = capsys.readouterr().err
    assert [line.split(":")[1].strip() for line in told.splitlines()] == [
        "target", "density", "temperature", "readings",
    ]  # fmt: skip


def test_balances_are_told_for_the_usual_volumes_or_for_the_target(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["weigh", "--balances"]) == 0
    out = capsys.readouterr().out
    assert "analytical balance, step 0.1 mg: smallest net mass 400 mg, about 0.4 mL" in out
    assert "  0.05 mL  for this tolerance only (guard band 23 % of the tolerance)" in out
    assert "at most a quarter of the tolerance, 5 %." in out
    assert main(["weigh", "--balances", "--target", "0.5 mL", "--step", "1 mg", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["volumes_mL"] == [0.5]
    assert data["balances"][0]["name"] == "the balance used"
    assert data["balances"][0]["fits"][0]["enough"] == "for this tolerance only"


def test_the_examples_of_its_help_are_understood(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("sheet.csv").write_text("\n".join(THREE), encoding="utf-8")
    shown = [line.strip().split("  ")[0] for line in _EXAMPLES.splitlines() if line.startswith("  drawndose weigh")]
    assert len(shown) == 6
    for line in shown:
        monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(b"0.41\n0.39\n0.4")))
        words = shlex.split(line.partition("<")[0].partition(">")[0])[1:]
        assert main(words) == 0, line
    assert capsys.readouterr().err == ""


def test_a_tolerance_out_of_range_is_refused_before_a_verdict_is_written(capsys: pytest.CaptureFixture[str]) -> None:
    assert weigh("--within", "500 %", "0.5032") == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert 'Came: "500 %". Accepted: 0.1 % to 50 %.' in told.err
