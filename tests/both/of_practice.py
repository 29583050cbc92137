"""Pairs of the rules of safe practice that are computed by other means than a safeguard: an order refused or asked about, what a
plan says of leftovers and limits, codes read or refused. Of those that only the records of a department can keep, the tests are
named that try them on a storage, both ways."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date

from drawndose import read_order
from drawndose.quantities import Refused, unit
from drawndose.reference import Container
from drawndose.reference.codes import check_digits, dates, element, meanings, ndc, own, pairing, scan, ucum
from tests.bench.benches import BOOK, ready
from tests.both.pair import Both

PENTAMIDINE, BUDESONIDE, ACETYLCYSTEINE = (
    "pentamidine-300mg-vial",
    "budesonide-0.5mg-unit-dose-2ml",
    "acetylcysteine-20pct",
)
GTIN = "00312345678906"


def refused(call: Callable[[], object]) -> bool:
    """Whether it is refused, with a sentence."""
    try:
        call()
    except Refused:
        return True
    return False


def _order(text: str) -> bool:
    return refused(lambda: read_order(text, catalogue=BOOK))


def _asked(text: str) -> set[str]:
    return {question.field for question in read_order(text, catalogue=BOOK).questions}


def _left(text: str, ident: str, **settings: object) -> list[tuple[str, str]]:
    return [(one.fate, one.stream) for one in ready(text, ident, **settings).leftovers]


def _thrown(text: str, ident: str) -> bool:
    return any(fate.startswith("Throw away what is left") for fate, _ in _left(text, ident))


def _at_once(text: str, ident: str) -> bool:
    limit = ready(text, ident).limit
    return limit is not None and limit.at_once


def _hazardous(**settings: object) -> bool:
    return any(
        "hazardous" in stream for _, stream in _left("pentamidine 200 mg by nebulizer once", PENTAMIDINE, **settings)
    )


def _to_the_drain(text: str, ident: str) -> bool:
    return any("never the drain" in stream for _, stream in _left(text, ident))


def _unsure(text: str) -> bool:
    """Whether it is asked which part is which: a lot may have swallowed what follows it."""
    return scan([text], year=2026).question is not None


def _faulty(*pairs: tuple[str, str]) -> bool:
    return bool(pairing(tuple(element(ai, value, year=2026) for ai, value in pairs)))


def _date(text: str, **more: object) -> bool:
    return refused(lambda: dates.read(text, year=2026, **more))  # type: ignore[arg-type]


def _product(gtin: str) -> bool:
    presentation = BOOK.presentations[0]
    mine = own.OwnProduct(
        gtin=GTIN, presentation=presentation, pack=presentation.packs[0], by="A", when=date(2026, 11, 25)
    )
    return own.known(gtin, [mine]) is None


def _eleven(text: str, asked: str) -> bool:
    return str(ndc.widened(ndc.read(text)[0], ndc.OF_ELEVEN)) != asked


def _lot(one: str, other: str) -> bool:
    return element("10", one, year=2026).value != element("10", other, year=2026).value


def _glass(word: str) -> bool:
    """Whether a record that carries this word in its name is of glass: the kind has a field of its own."""
    named = [one for one in BOOK.presentations if word in one.name]
    return bool(named) and any(one.container is not Container.GLASS_AMPOULE for one in named)


def _count(ai: str, value: str) -> bool:
    return "never a dose or a volume" in meanings.says(element(ai, value, year=2026), year=2026)


def pairs() -> Iterator[Both]:
    """Every pair that runs without a storage."""
    keeps = "acetylcysteine 600 mg by nebulizer", ACETYLCYSTEINE
    half = "budesonide 0.25 mg by nebulizer", BUDESONIDE
    yield Both("opened-vial-is-not-stored", lambda: _thrown(*half), lambda: _thrown(*keeps))
    yield Both("label-dilution-limits-still-bind", lambda: _at_once(*half), lambda: _at_once(*keeps))
    yield Both(
        "hazardous-waste-never-to-a-drain",
        lambda: _hazardous(waste_streams=(("pentamidine", "hazardous waste"),)),
        _hazardous,
    )
    yield Both(
        "drug-waste-not-to-a-drain",
        lambda: _to_the_drain(*half),
        lambda: _to_the_drain("sodium chloride 3 % 4 mL by nebulizer", "sodium-chloride-3pct-unit-dose"),
    )
    for rule, wrong, right in (
        ("directory-numbers-rewritten", "albuterol .63 mg/3mL by nebulizer", "albuterol 0.63 mg by nebulizer"),
        ("full-generic-names", "ALB 2.5 mg by nebulizer", "albuterol 2.5 mg by nebulizer"),
        ("full-generic-names", "MgSO4 150 mg by nebulizer", "magnesium sulfate 150 mg by nebulizer"),
        ("drops-are-no-volume", "albuterol 5 gtt by nebulizer", "albuterol 0.5 mL of 0.5 % by nebulizer"),
    ):
        yield Both(rule, lambda t=wrong: _order(t), lambda t=right: _order(t))  # type: ignore[misc]
    whole = "albuterol 2.5 mg by nebulizer every 4 hours"
    for field, text in (
        ("route", "albuterol 2.5 mg every 4 hours"),
        ("dose", "albuterol by nebulizer every 4 hours"),
        ("frequency", "albuterol 2.5 mg by nebulizer"),
    ):
        yield Both("order-is-complete", lambda f=field, t=text: f in _asked(t), lambda f=field: f in _asked(whole))  # type: ignore[misc]
    swallowed, parted = f"]d201{GTIN}10AB1217270200", f"]d201{GTIN}1727020010AB12"
    yield Both("element-strings", lambda: _unsure(swallowed), lambda: _unsure(parted))
    yield Both(
        "elements-that-go-together", lambda: _faulty(("10", "AB12")), lambda: _faulty(("01", GTIN), ("10", "AB12"))
    )
    yield Both(
        "elements-that-go-together",
        lambda: _faulty(("01", GTIN), ("37", "4")),
        lambda: _faulty(("01", GTIN), ("30", "4")),
    )
    yield Both("check-digit", lambda: not check_digits.holds("00312345678907"), lambda: not check_digits.holds(GTIN))
    yield Both(
        "expiry-day-00",
        lambda: dates.read("270200", year=2026).date == date(2027, 2, 28),
        lambda: dates.read("280200", year=2026).date == date(2028, 2, 28),
    )
    yield Both("expiry-day-00", lambda: _date("270200", day_00=False), lambda: _date("270200"))
    for wrong, right in (("271301", "271201"), ("270229", "280229"), ("270431", "270430"), ("270001", "270101")):
        yield Both("impossible-date", lambda t=wrong: _date(t), lambda t=right: _date(t))  # type: ignore[misc]
    yield Both(
        "century-of-two-digits", lambda: dates.full_year(77, 2026) == 1977, lambda: dates.full_year(76, 2026) == 1976
    )
    yield Both(
        "lot-compared-exactly", lambda: _lot("0AB12", "AB12") and _lot("ab12", "AB12"), lambda: _lot("AB12", "AB12")
    )
    yield Both("article-numbers-at-one-width", lambda: _product("00312345678920"), lambda: _product(GTIN))
    yield Both(
        "eleven-digits",
        lambda: _eleven("12345-678-90", "01234-5678-90"),
        lambda: _eleven("12345-678-90", "12345-0678-90"),
    )
    yield Both(
        "ndc-inside-an-article-number",
        lambda: refused(lambda: ndc.in_gtin("10614141000415")),
        lambda: refused(lambda: ndc.in_gtin(GTIN)),
    )
    yield Both(
        "twelve-digits-from-2033",
        lambda: refused(lambda: ndc.read("1234567890123")),
        lambda: refused(lambda: ndc.read("123456789012")),
    )
    yield Both("container-kind-never-from-a-word", lambda: _glass("unit dose"), lambda: _glass("glass ampoule"))
    yield Both("count-is-no-dose", lambda: _count("30", "12"), lambda: _count("10", "12"))
    yield Both(
        "units-in-code-and-in-words", lambda: ucum.write(unit("mcg")) != "mcg", lambda: ucum.write(unit("mg")) != "mg"
    )


LEDGER, WORK = "department/ledger/test_ledger.py", "department/work/"
ON_A_STORAGE = {
    "record-of-preparation": (f"{WORK}test_whole_job.py::test_a_reading_that_is_none_is_refused_and_draws_nothing", f"{WORK}test_whole_job.py::test_a_due_dose_becomes_a_closed_record"),
    "record-of-giving": (f"{WORK}test_whole_job.py::test_what_does_not_add_up_needs_a_reason", f"{WORK}test_giving.py::test_closing_keeps_how_it_was_taken_and_where_waste_went"),
    "corrections-only-add": ("department/pages/test_sheet.py::test_a_closed_record_changes_only_by_a_note", f"{WORK}test_patients.py::test_a_correction_keeps_what_stood_there"),
    "audit-trail-by-the-system": ("department/ledger/test_append_alone.py::test_nothing_is_added_outside_a_change", f"{LEDGER}::test_events_are_numbered_without_a_gap_and_bound_to_the_one_before"),
    "system-controls": (f"{WORK}test_states.py::test_what_can_happen_and_what_cannot", f"{WORK}test_states.py::test_every_state_is_reached_and_every_event_leads_to_one"),
    "signature-bound-to-its-record": (f"{LEDGER}::test_the_first_altered_event_is_named", f"{LEDGER}::test_the_hash_is_sha256_over_the_events_own_text"),
    "everyone-has-an-own-id": ("department/people/test_signing.py::test_who_left_or_has_no_password_is_not_told_apart", "department/people/test_signing.py::test_who_has_the_password_comes_in_whatever_the_case_of_the_name"),
    "activity-is-recorded": (f"{LEDGER}::test_a_missing_event_is_named_and_so_is_one_whose_hash_was_made_anew", f"{LEDGER}::test_events_are_numbered_without_a_gap_and_bound_to_the_one_before"),
    "unchanged-known-and-guarded": (f"{LEDGER}::test_the_first_altered_event_is_named", "department/people/test_signing.py::test_who_has_the_password_comes_in_whatever_the_case_of_the_name"),
    "class-uses-invented-patients": (f"{LEDGER}::test_a_storage_holds_one_kind_for_ever", "department/keeping/test_founding.py::test_the_first_start_founds_and_the_second_changes_nothing"),
    "decimals-keep-their-precision": (f"{LEDGER}::test_a_float_is_no_exact_value", "department/keeping/test_export.py::test_values_are_exact_and_their_kinds_are_told"),
}  # fmt: skip
"""Rule to the test in which a storage must refuse or name it, and the one in which it must not."""
