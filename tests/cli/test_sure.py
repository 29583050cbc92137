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


def test_settings_reach_the_judgement(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*WORDS, "--sure", "--spread", "6 %", "--draws", "10", "--away", "0"]) == 0
    out = capsys.readouterr().out
    assert "effective degrees of freedom infinite" not in out
    assert "weigh ten draws and set it" not in out


def test_a_dry_needle_is_a_known_loss_and_taken_off(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*WORDS, "--sure", "--dry-needle", "needle-21g"]) == 0
    out = capsys.readouterr().out
    # 0.05 mL of 0.5 mL stays in the needle: 10 % of the dose, from which the interval hangs
    assert "2.5 mg is ordered; with 95 % it is between about 1.89 mg and about 2.6" in out
    assert "how far the known loss is from its figure" in out


def test_two_doses_are_told_together(capsys: pytest.CaptureFixture[str]) -> None:
    order = "albuterol 2 mg and ipratropium 0.3 mg by nebulizer"
    have = ["--have", "albuterol-0.5pct-bottle-20ml", "--have", "ipratropium-500mcg-2.5ml", "--with", "syringe-1"]
    assert main(["plan", order, *have, "--sure"]) == 0
    assert "Chance that at least one dose is off its order by more than 5 %" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--spread", "some"], "spread: the spread of a person's draws is a share"),
        (["--draws", "10"], "spread: weighed draws are told with their spread"),
        (["--dry-needle", "needle-99g"], "dry-needle: the needle is not in the catalogue"),
        (["--dry-needle", "filter-needle"], "needle: no figure was found for what a filter needle keeps"),
    ],
)
def test_settings_that_cannot_be_read_are_2(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*WORDS, "--sure", *words]) == 2
    assert said in capsys.readouterr().err
