"""Allergies and the last dose on the command line, beside a text and in fields."""

import json

import pytest

from drawndose.cli import main

ORDER = "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours"
BOTTLE = ["--have", "albuterol-0.5pct-bottle-20ml", "--cup", "cup-6"]


def told(capsys: pytest.CaptureFixture[str]) -> str:
    printed = capsys.readouterr()
    return " ".join((printed.out + printed.err).split())


def test_an_allergy_beside_the_order_stops_what_holds_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", ORDER, *BOTTLE, "--allergies", "benzalkonium, latex"]) == 1
    out = told(capsys)
    assert "The patient does not tolerate benzalkonium chloride" in out
    assert "goes on: only the prescriber" in out
    assert main(["plan", ORDER, "--cup", "cup-6", "--allergies", "benzalkonium, latex"]) == 0
    assert "Not checked by the tool: allergy to latex." in told(capsys)


def test_the_last_dose_is_held_against_the_start(capsys: pytest.CaptureFixture[str]) -> None:
    when = ["--last-dose", "2026-11-25 12:00", "--started", "2026-11-25 14:05", "--zone", "America/Chicago"]
    assert main(["plan", ORDER, *BOTTLE, *when]) == 0
    assert "The last dose of albuterol was given 2 h 5 min before preparing began; the order says every 4 h." in told(
        capsys
    )
    assert main(["plan", ORDER, *BOTTLE, "--last-dose", "2026-11-25 12:00"]) == 0
    assert "when preparing begins was not said" in told(capsys)


def test_it_stands_in_the_data(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["--allergies", "none known", "--last-dose", "2026-11-25 09:00", "--json"]
    assert main(["plan", ORDER, *BOTTLE, *words]) == 0
    read = json.loads(capsys.readouterr().out)["order"]
    assert (read["allergies"], read["last_dose"]) == ([], "2026-11-25T09:00")
    fields = ["--field", "drug=albuterol", "--field", "dose=2.5 mg", "--field", "route=by nebulizer"]
    assert main(["plan", *fields, "--field", "allergies=EDTA, milk", "--json", "--have", "albuterol-2.5mg-3ml"]) == 0
    read = json.loads(capsys.readouterr().out)["order"]
    assert (read["allergies"], read["last_dose"]) == (["edetate", "milk"], None)


@pytest.mark.parametrize(
    ("order", "words", "said"),
    [
        (
            f"{ORDER}, allergic to EDTA",
            ["--allergies", "sulfites"],
            "allergies: the order and the option say it differently",
        ),
        (
            f"{ORDER}, last dose 2026-11-25 08:00",
            ["--last-dose", "2026-11-25 09:00"],
            "last_dose: the order and the option",
        ),
        (ORDER, ["--allergies", "2.5 mg", "--last-dose", "ten"], "last_dose: a time is a day and a time of 24 h"),
        (ORDER, ["--allergies", "2.5 mg"], "allergies: an allergy is the name of a drug or a substance"),
    ],
)
def test_what_cannot_be_read_or_is_said_differently_is_2(
    order: str, words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", order, *BOTTLE, *words]) == 2
    assert said in told(capsys)


def test_the_same_said_twice_is_once() -> None:
    twice = f"{ORDER}, allergic to EDTA, last dose 2026-11-25 08:00"
    same = ["--allergies", "edetate", "--last-dose", "2026-11-25 08:00"]
    assert main(["plan", twice, *BOTTLE, *same]) == 0
