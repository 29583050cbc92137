"""`drawndose plan --sure`: the interval and the chances come after the plan and change nothing in it."""

import json

import pytest

from drawndose.cli import main

WORDS = ["plan", "albuterol 2.5 mg by nebulizer, made up to 3 mL", "--have", "albuterol-0.5pct-bottle-20ml"]


def test_how_sure_is_told_when_asked(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*WORDS, "--sure"]) == 0
    sure = capsys.readouterr().out
    assert main(WORDS) == 0
    plain = capsys.readouterr().out
    assert sure.startswith(plain.rstrip("\n"))
    assert "2.5 mg is ordered; with 95 % it is between about " in sure
    assert "Chance of being off the order by more than 5 %" in sure
    assert "how sure" not in plain


def test_the_data_holds_the_same_sentences(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*WORDS, "--sure", "--json"]) == 0
    sure = json.loads(capsys.readouterr().out)
    assert main([*WORDS, "--json"]) == 0
    told = sure.pop("how_sure")
    assert json.loads(capsys.readouterr().out) == sure
    assert any("Not counted" in line for line in told)


def test_a_plan_that_is_not_ready_has_no_sureness(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", "albuterol by nebulizer", "--have", "albuterol-0.5pct-bottle-20ml", "--sure", "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["how_sure"] == []
