import json

import pytest

from drawndose.bench.sums import KINDS
from drawndose.cli import main

WORK = ["sums", "dose_to_volume", "dose=2.5 mg", "strength=0.25 %"]


def test_every_kind_is_listed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sums"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in lines] == list(KINDS)


def test_a_kind_says_what_it_takes(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sums", "dose_to_volume"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("Dose to volume: finds the volume that holds the dose.")
    assert "  strength: the strength in hand; such as 0.5 %" in out
    assert "kg_per_lb: kg taken for one pound; such as 0.454\n" in out


def test_a_sum_is_worked(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(WORK) == 0
    assert (
        capsys.readouterr().out
        == """\
Dose to volume
  0.25 % = 0.25 g in 100 mL = 2.5 mg per mL
  2.5 mg ÷ 2.5 mg per mL = 1 mL
Answer, volume that holds the dose: 1 mL
Ways it goes wrong:
  10 mL: percent read as mg per mL (0.25 % read as 0.25 mg per mL)
  2.5 mL: dose given as volume (2.5 mg measured as so many mL)
  0.1 mL: factor 10 too little (the point one place to the left)
"""
    )


def test_other_results_and_forms_are_shown(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sums", "ratio_parts", "ratio=1:2:2", "total_mass=50 g"]) == 0
    out = capsys.readouterr().out
    assert "Also, amount of part 2: 20 g" in out
    assert "goes wrong" not in out
    assert main(["sums", "dilution_final_strength", "dose=2.5 mg", "final_volume=3 mL"]) == 0
    assert "5/6 mg per mL (about 0.833 mg per mL), or 1/12 % (about 0.0833 %)" in capsys.readouterr().out


def test_json_is_exact(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*WORK, "--json"]) == 0
    made = json.loads(capsys.readouterr().out)
    assert list(made) == ["kind", "asked", "answer", "results", "lines", "wrong_ways"]
    assert made["answer"] == {"value": "1", "unit": "mL", "text": "1 mL"}
    assert made["wrong_ways"][0]["answer"]["value"] == "10"


def test_json_of_the_list_and_of_a_kind(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sums", "--json"]) == 0
    assert len(json.loads(capsys.readouterr().out)["sums"]) == len(KINDS)
    assert main(["sums", "expiry_date", "--json"]) == 0
    made = json.loads(capsys.readouterr().out)
    assert [one["name"] for one in made["inputs"]] == ["printed_expiry"]


def test_days_and_moments(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sums", "limit_time", "start=2026-11-25 22:15", "period=4 h", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)["answer"]
    assert answer == {"moment": "2026-11-26T02:15", "text": "2026-11-26 02:15"}
    assert main(["sums", "expiry_date", "printed_expiry=03/2023", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["answer"] == {"date": "2023-03-31", "text": "2023-03-31"}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["dose_to_mass", "dose=1 mg"], "kind: no sum of this kind is known"),
        (["dose_to_volume", "dose", "=1"], "input: an input is a name, an equals sign and a value"),
        (["dose_to_volume", "dose=1 mg", "dose=2 mg"], "dose: it came twice"),
        (["dose_to_volume", "dose=2.5 cc", "strength=strong"], "dose: cc is read as 00 or U"),
    ],
)
def test_what_is_not_understood_is_said_and_is_2(
    words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["sums", *words]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert f"drawndose: {said}" in captured.err
    assert "Traceback" not in captured.err


def test_the_list_of_commands_imports_none_of_them(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--help"]) == 0
    assert "verify" in capsys.readouterr().out
    assert main([]) == 2
    assert main(["nonsense"]) == 2
    assert main(["sums", "--help"]) == 0
    assert "examples:" in capsys.readouterr().out
