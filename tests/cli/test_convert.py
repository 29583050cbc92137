import json

import pytest

from drawndose.cli import main


def test_every_form_of_a_strength(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["convert", "0.5 %"]) == 0
    assert (
        capsys.readouterr().out
        == """\
0.5 % = 0.5 g in 100 mL = 5 mg per mL
  percent w/v  0.5 %
  mg per mL    5 mg per mL
  mcg per mL   5,000 mcg per mL
  g per L      5 g per L
  ratio 1:x    1 in 200
"""
    )


def test_one_form(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["convert", "2.5 mg", "mcg"]) == 0
    assert capsys.readouterr().out == "2.5 mg = 2,500 mcg\n"
    assert main(["convert", "1 %", "ratio"]) == 0
    assert capsys.readouterr().out.endswith("1 % = 1 in 100\n")


def test_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["convert", "1 mg in 3 mL", "mg/mL", "--json"]) == 0
    made = json.loads(capsys.readouterr().out)
    assert made["forms"] == [
        {
            "form": "mg/mL",
            "value": "1/3",
            "unit": "mg/mL",
            "text": "1/3 mg per mL (about 0.333 mg per mL)",
            "of": "the drug",
        }
    ]


def test_faults_are_2(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["convert", "5 cc"]) == 2
    assert capsys.readouterr().err == 'drawndose: value: cc is read as 00 or U. Came: "5 cc". Accepted: mL.\n'
