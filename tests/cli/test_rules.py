"""`drawndose catalogue rules`: the register at the command line, for people and as JSON."""

import json

import pytest

from drawndose.cli import main
from drawndose.reference import load

BOOK = load()


def told(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main(["catalogue", "rules", *words]) == 0
    return capsys.readouterr().out


def test_every_rule_and_every_disagreement_has_its_line(capsys: pytest.CaptureFixture[str]) -> None:
    lines = told(capsys).splitlines()
    begun = [line.split(" ")[0] for line in lines if line]
    assert begun == [*BOOK.rules, "Where", *BOOK.conflicts]


def test_a_section_alone(capsys: pytest.CaptureFixture[str]) -> None:
    lines = told(capsys, "container-life").splitlines()
    assert len(lines) == 32
    assert lines[0].startswith("vial-28-days ")
    assert "Where issuers disagree" not in lines


def test_a_rule_in_full(capsys: pytest.CaptureFixture[str]) -> None:
    assert (
        told(capsys, "no-needle-left-in-the-stopper")
        == """\
Is the stopper free of needles?
  id          no-needle-left-in-the-stopper
  when        A needle or spike has been in a stopper.
  must be so  Never leave one standing in the stopper.
  level       stop; preparer
  containers  stoppered vial, powder vial
  how sure    from memory: nothing confirms it yet; the sources are where it would stand
  from        USP <797>, chapters of 2008 and 2023, details beyond the immediate-use clauses (not read, from
              memory)
  kept        asked
  by          step: Pull out. No needle stays in the stopper.
"""
    )


def test_how_sure_and_why_not_are_said(capsys: pytest.CaptureFixture[str]) -> None:
    unkept = " ".join(told(capsys, "orders-dated-timed-signed").split())
    assert "kept not applicable why not The order stays in the hospital's own record" in unkept
    low = " ".join(told(capsys, "three-label-checks").split())
    assert "read in the issuer's own words; every source that was seen is a copy read elsewhere" in low
    assert "(read, in a copy)" in low
    assert "our own reasoning, not a published rule" in told(capsys, "waste-adds-up")
    assert "containers  any" in told(capsys, "waste-adds-up")
    assert "House reasoning from the sources beside it" in told(capsys, "waste-adds-up")


def test_a_number_of_our_units_is_shown_in_words(capsys: pytest.CaptureFixture[str]) -> None:
    text = told(capsys, "preservative-load")
    assert "number      20 mcg per mg: albuterol from the 0.5 % bottle" in text
    assert "number      1,600 mcg: 20 mg per h for 4 h" in text
    assert "number      1 patient: at most" in told(capsys, "single-dose-one-person-once")


def test_a_disagreement_in_full(capsys: pytest.CaptureFixture[str]) -> None:
    text = told(capsys, "28-days-for-a-dropper-bottle")
    assert text.startswith("How long may an opened dropper bottle be used?\n")
    assert text.count("\n  says  ") == 4
    assert "here        no default: the department must choose" in text
    assert "here        1 h" in told(capsys, "one-hour-or-four")
    assert "by          setting: start_within" in told(capsys, "one-hour-or-four")
    assert "\n  by  " not in told(capsys, "recapping")


def test_json_carries_everything_of_a_rule(capsys: pytest.CaptureFixture[str]) -> None:
    made = json.loads(told(capsys, "--json"))
    assert made["schema"] == "drawndose.rules/1"
    assert [one["id"] for one in made["rules"]] == list(BOOK.rules)
    one = json.loads(told(capsys, "vial-28-days", "--json"))["rules"][0]
    assert one["numbers"] == [
        {
            "text": "28 days",
            "means": "default in-use life",
            "quantity": {"value": "28", "unit": "day", "text": "28 days"},
        }
    ]
    assert one["sources"] == ["cdc-injection-safety-checklist", "tjc-multi-dose-vials"]
    assert (one["level"], one["how"], one["kept"], one["low_confidence"]) == ("stop", "read", "computed", False)
    assert "quantity" not in json.loads(told(capsys, "single-dose-one-person-once", "--json"))["rules"][0]["numbers"][0]


def test_json_of_a_disagreement(capsys: pytest.CaptureFixture[str]) -> None:
    (one,) = json.loads(told(capsys, "one-hour-or-four", "--json"))["conflicts"]
    assert (one["choices"], one["default"], one["setting"]) == (["1 h", "4 h"], "1 h", "setting: start_within")
    assert len(one["sides"]) == 2
    (fixed,) = json.loads(told(capsys, "recapping", "--json"))["conflicts"]
    assert fixed["setting"] == ""


@pytest.mark.parametrize(
    ("words", "rule"),
    [(["rules", "no-such"], "no rule, section or conflict"), (["albuterol", "vial-28-days"], "one thing at a time")],
)
def test_what_is_not_there_is_refused(capsys: pytest.CaptureFixture[str], words: list[str], rule: str) -> None:
    assert main(["catalogue", *words]) == 2
    assert rule in capsys.readouterr().err
