"""`drawndose catalogue mixing`: statements, verdicts of pairs and of the cup, and what is refused."""

import json

import pytest

from drawndose.cli import main
from drawndose.reference import load

BOOK = load()


def told(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main(["catalogue", "mixing", *words]) == 0
    return capsys.readouterr().out


def data(capsys: pytest.CaptureFixture[str], *words: str) -> dict:
    found = json.loads(told(capsys, *words, "--json"))
    assert found["schema"] == "drawndose.mixing/1"
    return found


def test_every_statement_has_its_line_and_those_of_one_drug_theirs(capsys: pytest.CaptureFixture[str]) -> None:
    lines = told(capsys).splitlines()
    assert len(lines) == len(BOOK.mixtures.statements)
    alone = told(capsys, "iloprost").splitlines()
    assert len(alone) == 1
    assert alone[0].startswith("iloprost + any other drug ")
    assert "label forbids" in alone[0]
    assert "Copy of the US label, iloprost inhalation, Dosage, Dosage (secondary)" in alone[0]
    assert len(data(capsys)["statements"]) == len(lines)


def test_two_drugs_give_the_verdict_who_says_so_and_the_products_that_differ(
    capsys: pytest.CaptureFixture[str],
) -> None:
    lines = told(capsys, "salbutamol", "cromolyn").splitlines()
    assert lines[0] == "albuterol + cromolyn: conflicting"
    assert lines[1].startswith("  a reference table that cites the cromolyn insert says do not mix  [")
    assert lines[2].startswith("  a 2006 review holds them compatible  [")
    assert lines[-1] == "  but albuterol-0.5pct-bottle-20ml: incompatible"


def test_a_product_is_judged_with_what_it_carries(capsys: pytest.CaptureFixture[str]) -> None:
    lines = told(capsys, "albuterol-0.5pct-bottle-20ml", "tobramycin").splitlines()
    assert lines[0] == "albuterol-0.5pct-bottle-20ml + tobramycin: no data"
    assert any(line.startswith("  not here, since a preservative goes in: a 2006 review holds") for line in lines)


def test_three_drugs_give_each_pair_the_three_and_the_cup(capsys: pytest.CaptureFixture[str]) -> None:
    lines = told(capsys, "albuterol", "ipratropium", "cromolyn").splitlines()
    heads = [line for line in lines if not line.startswith(" ")]
    assert heads == [
        "albuterol + ipratropium: compatible, within 1 h",
        "albuterol + cromolyn: conflicting",
        "ipratropium + cromolyn: conflicting",
        "albuterol + cromolyn + ipratropium: compatible",
        "the cup: conflicting, within 1 h",
    ]
    forbidden = told(capsys, "albuterol", "ipratropium", "formoterol").splitlines()
    assert forbidden[-1] == "the cup: label forbids"


def test_the_same_as_data(capsys: pytest.CaptureFixture[str]) -> None:
    found = data(capsys, "albuterol", "budesonide")
    assert found["of"] == ["albuterol", "budesonide"]
    assert found["cup"] == {"verdict": "conflicting", "within": {"value": "30", "unit": "min", "text": "30 min"}}
    (together,) = found["together"]
    assert [one["source"] for one in together["because"]] == [
        "us-label-mirror-budesonide-storage",
        "uk-pharmacy-nebuliser-mixing",
    ]
    assert data(capsys, "albuterol", "colistimethate")["products"] == [
        {"of": [ident], "in": ["albuterol", "colistimethate"], "verdict": verdict}
        for ident, verdict in (
            ("albuterol-0.5pct-bottle-20ml", "incompatible"),
            ("albuterol-0.63mg-3ml", "conflicting"),
            ("albuterol-1.25mg-3ml", "conflicting"),
        )
    ]
    three = data(capsys, "ipratropium-0.5mg-albuterol-2.5mg-3ml", "budesonide")["together"]
    assert [one["of"] for one in three][1] == ["albuterol", "budesonide", "ipratropium"]
    assert data(capsys, "albuterol", "lidocaine")["cup"] == {"verdict": "no data", "within": None}


@pytest.mark.parametrize(
    ("words", "came", "rule"),
    [
        (("foo", "bar"), ["foo", "bar"], "neither a drug nor a container here"),
        (
            ("albuterol", "albuterol-0.5pct-bottle-20ml"),
            ["albuterol albuterol-0.5pct-bottle-20ml"],
            "a drug with itself",
        ),
        (("sodium-chloride-0.9pct-unit-dose",), ["sodium-chloride-0.9pct-unit-dose"], "a diluent is no drug"),
        (("sterile water", "albuterol"), ["sterile water"], "a diluent is no drug"),
        (
            ("albuterol", "ipratropium", "budesonide", "cromolyn"),
            ["albuterol ipratropium budesonide cromolyn"],
            "at most 3",
        ),
    ],
)
def test_what_is_no_mixture_is_refused(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], came: list[str], rule: str
) -> None:
    assert main(["catalogue", "mixing", *words, "--json"]) == 2
    faults = json.loads(capsys.readouterr().err)["faults"]
    assert [fault["came"] for fault in faults] == came
    assert all(fault["rule"].startswith(rule) for fault in faults)


def test_only_mixing_takes_more_words(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["catalogue", "albuterol", "ipratropium"]) == 2
    assert main(["catalogue", "rules", "vial-28-days", "checks"]) == 2
    assert "one thing at a time" in capsys.readouterr().err
