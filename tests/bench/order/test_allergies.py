"""Allergies out of a text, a field and an option: known names by their ids, others as written, and nothing else swallowed."""

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose import Refused
from drawndose.bench.order import read_fields
from drawndose.bench.order.allergies import allergies_in
from tests.bench.benches import BOOK
from tests.bench.order.asked import blocking, order, told

DRUG = "albuterol 2.5 mg by nebulizer"


def named(text: str) -> tuple[str, ...]:
    return order(text).patient.allergies


@pytest.mark.parametrize(
    ("words", "allergies"),
    [
        ("allergic to sulfites", ("sulfites",)),
        ("patient is allergic to sodium metabisulfite and EDTA", ("sulfites", "edetate")),
        ("sensitive to benzalkonium", ("benzalkonium chloride",)),
        ("allergy to soy lecithin", ("soya",)),
        ("allergic to peanuts/soya", ("peanut", "soya")),
        ("allergic to salbutamol", ("albuterol",)),
        ("allergic to penicillin", ("penicillin",)),
        ("allergic to penicillin and latex gloves", ("penicillin", "latex gloves")),
        ("allergies: sulfites, penicillin, latex", ("sulfites", "penicillin", "latex")),
        ("allergies = EDTA; ", ("edetate",)),
        ("allergies sulfites", ("sulfites",)),
        ("allergic to sulfites, allergic to sulphite", ("sulfites",)),
        ("allergic to sulfites; allergy to EDTA", ("sulfites", "edetate")),
        ("allergic to sulfa", ("sulfa",)),
        ("no known allergies", ()),
        ("no known drug allergies", ()),
        ("NKDA", ()),
        ("allergies: none known", ()),
        ("allergies: NKA", ()),
    ],
)
def test_a_list_of_allergies_before_and_after_the_order(words: str, allergies: tuple[str, ...]) -> None:
    assert named(f"{DRUG}, {words}") == allergies
    assert named(f"{words.rstrip('; ')}; {DRUG}") == allergies
    assert [line.drug.id for line in order(f"{DRUG}, {words}").lines] == ["albuterol"]


def test_it_is_shown_in_the_reading_with_its_place() -> None:
    read = order(f"{DRUG}, allergic to salbutamol and penicillin, every 4 hours")
    (span,) = [one for one in read.spans if one.field == "allergies"]
    assert read.text[span.start : span.end] == "allergic to salbutamol and penicillin"
    assert span.reading == "albuterol, penicillin"
    (none,) = [one for one in order(f"{DRUG}, no known allergies").spans if one.field == "allergies"]
    assert none.reading == "none known"


@pytest.mark.parametrize(
    ("text", "allergies", "fill"),
    [
        (f"allergic to sulfites, {DRUG}", ("sulfites",), ""),
        ("allergic to EDTA and albuterol 2.5 mg by nebulizer", ("edetate",), ""),
        (f"allergic to penicillin, undiluted {DRUG}", ("penicillin",), "undiluted"),
        (f"allergies: saline, {DRUG} undiluted", ("sodium-chloride",), "undiluted"),
        (f"allergies: penicillin, every 4 hours {DRUG}", ("penicillin",), ""),
    ],
)
def test_a_list_ends_where_the_order_goes_on(text: str, allergies: tuple[str, ...], fill: str) -> None:
    read = order(text)
    assert read.patient.allergies == allergies
    assert [line.drug.id for line in read.lines] == ["albuterol"]
    assert (read.fill.says if read.fill is not None else "") == fill


@pytest.mark.parametrize(
    ("words", "came"),
    [
        ("allergic to penicillin, shake well", "shake well"),
        ("allergies: hold if pulse above 140", "allergies: hold if pulse above 140"),
        ("allergies: mix well", "well"),
        ("allergic to", "allergic to"),
        ("allergic to everything that was ever made", "allergic to everything that was ever made"),
    ],
)
def test_what_is_no_name_of_an_allergen_is_not_swallowed(words: str, came: str) -> None:
    assert ("this was not understood, and nothing in an order is skipped", came) in told(f"{DRUG}; {words}")


def test_a_dangerous_abbreviation_beside_an_allergy_is_still_refused() -> None:
    assert ("QD is read as QID", "QD") in told(f"{DRUG}, allergic to penicillin QD")
    assert ("QD is read as QID", "QD") in told(f"{DRUG}, allergies: QD")


def test_none_known_beside_a_name_is_a_contradiction() -> None:
    rule = "the order says that no allergy is known, and names one"
    assert told(f"{DRUG}, no known allergies, allergic to soy") == [(rule, "soya")]


def test_a_drug_that_is_only_an_allergy_is_not_ordered() -> None:
    assert order("allergic to albuterol").lines == ()
    assert "drug" in blocking("by nebulizer, allergic to albuterol")


@pytest.mark.parametrize(
    ("text", "allergies"),
    [
        ("sulfites, albuterol", ("sulfites", "albuterol")),
        ("Sulphite; Penicillin G / EDTA", ("sulfites", "Penicillin G", "edetate")),
        ("soy and peanuts or soya", ("soya", "peanut")),
        ("polysorbate 80", ("polysorbates",)),
        ("allergic to latex", ("latex",)),
        ("none known", ()),
        ("None.", ()),
        ("no known allergies", ()),
    ],
)
def test_a_field_holds_names_only(text: str, allergies: tuple[str, ...]) -> None:
    assert allergies_in(text, book=BOOK) == allergies
    fields = {"drug": "albuterol", "dose": "2.5 mg", "route": "by nebulizer", "allergies": text}
    assert read_fields(fields, catalogue=BOOK).patient.allergies == allergies


@pytest.mark.parametrize("text", ["sulfites, 2.5 mg", ",", "x" * 61, "latex, ???"])
def test_a_field_with_something_else_is_refused_at_its_own_field(text: str) -> None:
    fields = {"drug": "albuterol", "dose": "2.5 mg", "route": "by nebulizer", "allergies": text}
    with pytest.raises(Refused) as refused:
        read_fields(fields, catalogue=BOOK)
    assert {fault.field for fault in refused.value.faults} == {"allergies"}


@given(st.text(max_size=80))
def test_any_text_of_a_field_is_names_or_refused(text: str) -> None:
    with contextlib.suppress(Refused):
        found = allergies_in(text, book=BOOK)
        assert len(set(found)) == len(found)
        assert all(len(one) <= 60 for one in found)


@given(
    st.lists(st.sampled_from(["penicillin", "latex", "sulfites", "albuterol", "EDTA", "milk"]), min_size=1, unique=True)
)
def test_a_list_is_read_whole_whatever_stands_in_it(names: list[str]) -> None:
    assert len(named(f"allergies: {', '.join(names)}; {DRUG}")) == len(names)
    assert len(named(f"{DRUG}; allergic to {' and '.join(names)}")) == len(names)
