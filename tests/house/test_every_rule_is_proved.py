"""Every safeguard has its own tests, says its question, and is listed once."""

import re
from pathlib import Path

from drawndose.bench import safeguards
from drawndose.bench.findings import Level, Waiver
from drawndose.bench.safeguards import Rule

ROOT = Path(__file__).parents[2]
FAMILIES = {name: getattr(safeguards, name) for name in dir(safeguards) if name.startswith("OF_")}
RULES: list[Rule[object]] = [one for families in FAMILIES.values() for family in families for one in family.RULES]
NO_ONE_MAY_WAIVE = {
    *("past-printed-expiry", "past-in-use-life", "past-written-date", "past-pouch-life", "past-life-out-of-pouch"),
    *("past-life-at-room", "past-made-up-life", "opened-undated", "life-not-decided", "single-dose-opened-before"),
    *("kept-otherwise-than-label", "visibly-faulty", "touched-or-returned", "another-persons", "bedside-of-nobody"),
    *("fill-over-cup", "liquid-never", "mixture-incompatible", "too-many-products", "hazardous-at-bedside"),
    *("diluent-preserved", "diluent-for-many", "percent-disagrees", "label-missing", "label-incomplete"),
    *("reading-beside-plan", "second-reader-missing", "second-reader-is-first", "readings-differ"),
    *("filter-needle-order", "needle-left-on", "limit-time-passed", "identifiers-not-matched"),
    *("charted-before-giving", "waste-witness", "another-strength", "filter-needle-missing"),
}
"""The closed list of stops that nobody may go on in spite of. A stop that is added or let go is seen here."""


def counted() -> dict[str, int]:
    """How often each rule's id stands in quotation marks in the tests."""
    files = [path for path in (ROOT / "tests").rglob("test_*.py") if path != Path(__file__)]
    files += (ROOT / "tests").rglob("planted.py")
    text = "\n".join(path.read_text(encoding="utf-8") for path in files)
    return {one.id: len(re.findall(rf"[\"']{re.escape(one.id)}[\"']", text)) for one in RULES}


def test_every_rule_is_named_in_a_test_of_its_own() -> None:
    assert {ident for ident, count in counted().items() if not count} == set()


def test_ids_stand_once_and_say_what_they_are() -> None:
    ids = [one.id for one in RULES]
    assert len(ids) == len(set(ids))
    assert all(re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", ident) for ident in ids)


def test_every_rule_asks_one_question_and_says_what_it_needs() -> None:
    for one in RULES:
        assert one.asks.endswith("?"), one.id
        assert one.asks.count("?") == 1, one.id
        assert one.needs or one.id == "expiry-not-said", one.id


def test_a_note_needs_no_answer_and_nothing_graver_goes_without_one() -> None:
    for one in RULES:
        assert (one.waiver is Waiver.UNASKED) is (one.level is Level.NOTE), one.id


def test_the_stops_that_nobody_may_waive_are_a_closed_list() -> None:
    held = {one.id for one in RULES if one.level is Level.STOP and one.waiver is Waiver.NOBODY}
    assert held == NO_ONE_MAY_WAIVE
