"""`drawndose compare`: columns side by side, no number without a line, the same as data."""

import json
import re

import pytest

from drawndose.cli import main

THREE = ["compare", "0.5mL", "syringe-1", "syringe-3", "dropper-0.25-0.5"]


def out_of(words: list[str], capsys: pytest.CaptureFixture[str], status: int = 0) -> str:
    assert main(words) == status
    return capsys.readouterr().out


def test_half_a_millilitre_three_ways(capsys: pytest.CaptureFixture[str]) -> None:
    out = out_of(THREE, capsys)
    rows = {name: cells for name, *cells in (re.split(r"\s{2,}", line) for line in out.splitlines()[:8])}
    assert rows["0.5 mL"] == ["1 mL syringe", "3 mL syringe", "calibrated dropper"]
    assert rows["permissible error"] == ["0.025 mL, 5 %", "0.055 mL, 11 %", "0.075 mL, 15 %"]
    assert rows["standard uncertainty"] == ["2.9 %", "8.6 %", "8.7 %"]
    assert rows["effective degrees of freedom"] == ["infinite"] * 3
    assert rows["chance of being beyond 10 %"][0] == "under 0.01 %"
    assert float(rows["chance of being beyond 10 %"][2].removesuffix(" %")) == pytest.approx(33.3, abs=1)
    assert "their own error (one standard deviation)" in out
    assert "of the variance  calibration of the 3 mL syringe, luer lock" in out
    assert out.rstrip().endswith("Surest of these for 0.5 mL: the 1 mL syringe.")


def test_the_volume_may_stand_anywhere_and_alone_it_is_in_millilitres(capsys: pytest.CaptureFixture[str]) -> None:
    told = out_of(["compare", "0.5 mL", "syringe-1", "syringe-3"], capsys)
    assert out_of(["compare", "syringe-1", "syringe-3", "0.5"], capsys) == told


@pytest.mark.parametrize(("words", "came"), [([], "none"), (["0.5mL", "1mL"], "0.5mL, 1mL")])
def test_one_volume_is_compared(words: list[str], came: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compare", *words, "syringe-1", "syringe-3"]) == 2
    assert f'one volume is compared. Came: "{came}"' in capsys.readouterr().err


def test_without_a_line_there_is_no_number(capsys: pytest.CaptureFixture[str]) -> None:
    out = out_of(["compare", "0.4mL", "syringe-1", "dropper-0.25-0.5"], capsys)
    assert re.search(r"permissible error +0\.023 mL, about 5\.8 % +no line", out)
    assert "0.4 mL has no line on it: it lies between 0.25 mL and 0.5 mL." in out
    none = out_of(["compare", "0.35mL", "syringe-3", "syringe-5"], capsys, status=1)
    assert "Surest" not in none
    assert "%" not in none


def test_the_data_say_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["compare", "0.5 mL", "syringe-1", "syringe-5", "--spread", "3 %", "--draws", "10", "--json"]
    found = json.loads(out_of(words, capsys))
    assert (found["schema"], found["volume_mL"]) == ("drawndose.compared/1", "1/2")
    small, five = found["instruments"]
    assert small["judged"]["permissible_error_mL"] == "1/40"
    assert 9 < small["judged"]["effective_degrees_of_freedom"] < 40
    assert sum(part["share_of_variance"] for part in small["judged"]["budget"]) == pytest.approx(1)
    assert small["judged"]["interval_mL"][0] < 0.5 < small["judged"]["interval_mL"][1]
    assert [one["share"] for one in small["judged"]["beyond"]] == ["1/20", "1/10"]
    assert all(one["error"] > 0 for one in small["judged"]["beyond"])
    assert (five["judged"], five["lines_around_mL"]) == (None, ["2/5", "3/5"])
    still = json.loads(out_of(["compare", "0.5mL", "syringe-1", "syringe-3", "--json"], capsys))
    assert still["instruments"][0]["judged"]["effective_degrees_of_freedom"] is None
    assert (
        still["instruments"][0]["judged"]["misleads"]
        == "one rectangular term (calibration of the 1 mL syringe, luer lock) outweighs the rest"
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["0.5mg", "syringe-1", "syringe-3"], ["volume: a volume of more than 0 is wanted"]),
        (["half", "syringe-1", "syringe-3"], ["volume: "]),
        (["0.5mL", "syringe-1"], ["instruments: two to four instruments"]),
        (["0.5mL", "syringe-1", "syringe-1"], ["instruments: two to four instruments, each once"]),
        (["0 mL", "syringe-1", "spoon", "--spread", "x"], ["volume: ", "instruments: the instrument is not known here", "spread: "]),
    ],
)  # fmt: skip
def test_every_fault_is_named_at_once(words: list[str], said: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compare", *words]) == 2
    err = capsys.readouterr().err
    assert all(one in err for one in said)
