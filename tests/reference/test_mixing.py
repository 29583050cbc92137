"""The statements on mixtures and the liquids: every name, source and number stands; a broken file is refused with its keys."""

import re
from collections import Counter

import pytest

from drawndose import load
from drawndose.quantities import read_quantity
from drawndose.reference import ANY, How, Verdict
from drawndose.reference.liquid import take_liquids
from drawndose.reference.mixing import take_mixtures
from drawndose.reference.table import Table

BOOK = load()
DRUGS = {drug.id for drug in BOOK.drugs}
PRODUCTS = {one.id for one in BOOK.presentations}
CARRIED = {carried.substance for one in BOOK.presentations for carried in one.carries}
PROVENANCE = {"source": "s", "at": "-", "how": "read"}


def test_every_name_of_a_statement_is_a_drug_a_product_or_something_that_a_product_carries() -> None:
    named = {name for one in BOOK.mixtures for name in one.of}
    assert named - DRUGS - PRODUCTS - CARRIED == {ANY}


def test_every_source_of_a_statement_and_of_a_liquid_resolves() -> None:
    origins = [*(one.origin for one in BOOK.mixtures), *BOOK.liquids.origins()]
    assert {one.source for one in origins} <= set(BOOK.sources)
    assert {one.how for one in origins} <= {How.READ, How.SECONDARY, How.COMPUTED}


def test_a_source_says_one_thing_of_one_mixture() -> None:
    said = Counter((tuple(sorted(one.of)), one.origin.source) for one in BOOK.mixtures)
    assert {key: times for key, times in said.items() if times > 1} == {}


def test_every_verdict_is_stated_by_somebody() -> None:
    assert {one.verdict for one in BOOK.mixtures} == set(Verdict)


def test_a_label_forbids_a_drug_with_whatever_else_and_never_everything() -> None:
    forbids = {one.of for one in BOOK.mixtures if one.verdict is Verdict.FORBIDDEN}
    assert all(names[0] in DRUGS for names in forbids)
    assert {one.verdict for one in BOOK.mixtures.of(ANY, ANY)} == {Verdict.NO_DATA}
    assert {one.verdict for one in BOOK.mixtures.of(ANY, ANY, ANY)} == {Verdict.NO_DATA}


def test_statements_are_found_in_whatever_order() -> None:
    assert BOOK.mixtures.of("ipratropium", "albuterol") == BOOK.mixtures.of("albuterol", "ipratropium")
    assert BOOK.mixtures.of("albuterol", "lidocaine") == ()


def test_a_time_stands_only_where_something_may_be_mixed() -> None:
    timed = [one for one in BOOK.mixtures if one.within is not None]
    assert {one.verdict for one in timed} == {Verdict.COMPATIBLE, Verdict.CONFLICTING}
    assert {one.within for one in timed} == {read_quantity(text) for text in ("30 min", "1 h", "25 h")}
    for one in timed:
        assert re.search(r"\b(30 min|1 h|25 h)\b", one.says), one


def test_a_note_on_mixing_of_a_label_has_its_statement() -> None:
    """What a presentation notes of a source is weighed too: no source is known to one of the two places only."""
    stated = {one.origin.source for one in BOOK.mixtures}
    noted = {note.origin.source for one in BOOK.presentations for note in one.notes_on("mixing")}
    apart = {"from-memory", "common-practice", "study-budesonide-bronchodilator-in-vitro"}
    of_diluents = {"pharmacopoeia-ribavirin-inhalation"}
    assert noted - stated == apart | of_diluents


def test_the_words_of_a_statement_are_two_halves_of_a_sentence() -> None:
    for one in BOOK.mixtures:
        assert one.told == f"{one.by} {one.says}"
        assert not one.told.endswith(".")
        assert len(one.told.split()) <= 20, one.told


def test_every_liquid_is_of_a_product_and_its_number_stands_in_the_products_note() -> None:
    for one in BOOK.liquids.osmotic.values():
        notes = [
            note for note in BOOK.presentation(one.of).notes_on("tonicity") if note.origin.source == one.origin.source
        ]
        told = " ".join(note.says for note in notes).replace(",", "").lower()
        numbers = {str(one.low), str(one.high)}
        assert "isotonic" in told or numbers <= set(re.findall(r"[0-9]+", told)) or one.of == "acetylcysteine-10pct"
    for acid in BOOK.liquids.acidity.values():
        notes = [note.says for note in BOOK.presentation(acid.of).notes_on("ph") if note.origin == acid.origin]
        assert any(f"{float(acid.low):g} to {float(acid.high):g}" in says for says in notes), acid


def test_ten_percent_acetylcysteine_is_half_of_twenty() -> None:
    ten, twenty = (BOOK.liquids.osmotic[f"acetylcysteine-{share}pct"].low for share in (10, 20))
    assert ten + ten == twenty


def _rules(take, key: str, *records: dict[str, object]) -> dict[str, str]:
    table = Table({key: list(records)}, "file", [])
    take(table)
    return {fault.field: fault.rule for fault in table.faults}


@pytest.mark.parametrize(
    ("record", "field", "rule"),
    [
        ({"of": ["albuterol"]}, "of", "a statement is on two or three names"),
        ({"of": ["albuterol", "albuterol"]}, "of", "a statement is on two or three names"),
        ({"of": ["a", "b", "c", "d"]}, "of", "a statement is on two or three names"),
        ({"verdict": "fine"}, "verdict", "one word of a closed list"),
        ({"within": "1 mL"}, "within", "a time is wanted"),
        ({"by": 3}, "by", "a text is needed"),
        ({"untill": "1 h"}, "untill", "the key is not known here"),
    ],
)
def test_a_broken_statement_is_refused_with_its_key(record: dict[str, object], field: str, rule: str) -> None:
    good = {"of": ["any", "any"], "verdict": "no data", "by": "somebody", "says": "knows nothing", **PROVENANCE}
    assert _rules(take_mixtures, "mixture", good) == {}
    assert _rules(take_mixtures, "mixture", good | record)[f"file.mixture[0].{field}"].startswith(rule)


@pytest.mark.parametrize(
    ("key", "record", "field", "rule"),
    [
        ("osmolarity", {"from": "3 mg"}, "from", "an osmolarity is needed"),
        ("osmolarity", {"from": "30 mOsm/L"}, "to", "a range goes up"),
        ("ph", {"from": "15", "to": "15"}, "from", "a pH is at most 14"),
        ("ph", {"from": "acid"}, "from", "a number"),
        ("ph", {"from": "4"}, "to", "a range goes up"),
        ("answer", {"osmolarity": "3"}, "osmolarity", "an osmolarity is needed"),
    ],
)
def test_a_broken_liquid_is_refused_with_its_key(key: str, record: dict[str, object], field: str, rule: str) -> None:
    good: dict[str, dict[str, object]] = {
        "osmolarity": {"of": "p", "from": "10 mOsm/L", "to": "20 mOsm/L", "says": "x", **PROVENANCE},
        "ph": {"of": "p", "from": "2", "to": "3", **PROVENANCE},
        "answer": {"id": "a", "osmolarity": "308 mOsm/L", "says": "x", **PROVENANCE},
    }
    assert _rules(take_liquids, key, good[key]) == {}
    assert rule in _rules(take_liquids, key, good[key] | record)[f"file.{key}[0].{field}"]
    assert _rules(take_liquids, key, good[key], good[key]) == {f"file.{key}": "each stands once"}
