"""Weighing on the command line: what was drawn, judged; and nothing read by half."""

import io
import json
from pathlib import Path

import pytest

from drawndose.cli import main

THREE = ["0.4962", "0.5021", "0.4988"]


def weigh(*words: str, target: str = "0.5 mL") -> int:
    return main(["weigh", "--target", target, *words])


def test_each_draw_is_judged_and_the_series_says_what_it_shows(capsys: pytest.CaptureFixture[str]) -> None:
    assert weigh(*THREE) == 0
    out = capsys.readouterr().out
    assert out.count(": within; chance that this is wrong: ") == 3
    assert "3 draws: mean 0.5006 mL" in out
    assert "the next draw" in out
    assert "Not counted: calibration of the balance" in out


def test_a_draw_outside_gives_status_1(capsys: pytest.CaptureFixture[str]) -> None:
    assert weigh("0.40") == 1
    assert ": outside; " in capsys.readouterr().out


def test_close_to_the_limit_cannot_be_told_unless_simple_acceptance_takes_the_risk(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert weigh("--within", "0.005 mL", "0.5032") == 1
    assert "cannot be told" in capsys.readouterr().out
    assert weigh("--within", "0.005 mL", "--simple", "0.5032") == 0
    assert "by simple acceptance" in capsys.readouterr().out


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
    monkeypatch.setattr("sys.stdin", io.StringIO(text))
    weigh("--json", "--readings", "-")
    assert by_words == by_file == json.loads(capsys.readouterr().out)
    assert by_words["series"]["count"] == 3
    assert [one["call"] for one in by_words["draws"]] == ["within"] * 3


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
        (["--within", "0 %", "0.49"], "tolerance"),
        (["--liquid", "oil", "0.49"], "density"),
    ],
)
def test_a_slip_is_named_and_nothing_is_judged(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert weigh(*words) == 2
    told = capsys.readouterr()
    assert said in told.err
    assert told.out == ""


def test_a_target_that_is_no_volume_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert weigh("0.49", target="0.5 mg") == 2
    assert "target: a volume above 0 is wanted" in capsys.readouterr().err
