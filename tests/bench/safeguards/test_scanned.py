"""Every rule of a scan, both ways, with its level and its words."""

from dataclasses import replace
from datetime import date, datetime

import pytest

from drawndose.bench.findings import Finding, Level
from drawndose.bench.safeguards.scanned import RULES, Scanned, scan_findings
from drawndose.reference.codes import OwnProduct, scan
from tests.bench.benches import BOOK

GTIN = "0100312345678906"
BOTTLE = BOOK.presentation("albuterol-0.5pct-bottle-20ml")
PRODUCT = OwnProduct(
    gtin="00312345678906", presentation=BOTTLE, pack=BOTTLE.packs[0], by="R. Example, RRT", when=date(2026, 11, 25)
)
WHOLE = f"]d2{GTIN}17270630" + "10AB12"


def scanned(*texts: str, moment: date = date(2026, 11, 25), listed: bool = True, known: bool = True) -> Scanned:
    return Scanned(
        scan=scan(texts, year=2026), year=2026, moment=moment, listed=listed, product=PRODUCT if known else None
    )


def found(rule: str, seen: Scanned) -> Finding | None:
    return next((one for one in scan_findings(seen) if one.rule == rule), None)


FIRES = {
    "scan-asked": (scanned(f"]d2{GTIN}" + "10AB1217270200"), Level.STOP, "A separator may have been lost"),
    "scan-past-expiry": (
        scanned(f"]d2{GTIN}17261124" + "10A"),
        Level.STOP,
        "It expired 24 Nov 2026; it is 25 Nov 2026.",
    ),
    "product-not-known": (scanned(WHOLE, known=False), Level.STOP, "00312345678906 is not known here"),
    "symbol-not-gs1": (scanned("]d1ABC"), Level.CAUTION, "Data Matrix without a GS1 key: ]d1ABC."),
    "scan-without-lot-or-expiry": (scanned(f"]e0{GTIN}"), Level.NOTE, "The code holds no lot and no expiry."),
}


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_a_planted_fault_is_found_and_a_whole_code_brings_nothing_up(rule: object) -> None:
    ident = rule.id  # type: ignore[attr-defined]
    seen, level, says = FIRES[ident]
    finding = found(ident, seen)
    assert finding is not None
    assert finding.level is level
    assert says in finding.says
    assert finding.do
    assert finding.origin.source in BOOK.sources
    assert len(f"{finding.says} {finding.do}".split()) <= 40
    assert found(ident, scanned(WHOLE)) is None


def test_every_question_has_its_origin() -> None:
    hyphens = found("scan-asked", scanned("1234567890"))
    standards = found("scan-asked", scanned("90123456789"))
    assert hyphens is not None
    assert hyphens.says == "Ten digits do not say where the hyphens of an NDC stand: 3 readings."
    assert hyphens.origin.source == "fda-ndc-formats"
    assert standards is not None
    assert standards.origin.source == "common-practice"


def test_readings_that_are_not_all_shown_are_counted_as_at_least() -> None:
    finding = found("scan-asked", scanned(f"]d2{GTIN}91" + "21" * 40))
    assert finding is not None
    assert finding.says.endswith("at least 8 readings.")
    alone = found("scan-asked", scanned("]d2" + "10AB12" + GTIN))
    assert alone is not None
    assert alone.says.endswith("1 reading.")


def test_a_day_is_usable_to_its_end() -> None:
    for moment in (date(2026, 11, 24), datetime(2026, 11, 24, 23, 59)):
        assert found("scan-past-expiry", scanned(f"]d2{GTIN}17261124", moment=moment)) is None
    late = found("scan-past-expiry", scanned(f"]d2{GTIN}17261124", moment=datetime(2026, 11, 25, 0, 0)))
    assert late is not None
    assert late.says == "It expired 24 Nov 2026; it is 25 Nov 2026 00:00."


def test_while_the_scan_is_asked_an_expired_reading_is_told() -> None:
    finding = found("scan-past-expiry", scanned(f"]d2{GTIN}" + "10AB1217260200"))
    assert finding is not None
    assert finding.says.startswith("By one reading it expired 28 Feb 2026")


def test_without_a_list_an_unknown_product_is_a_note() -> None:
    finding = found("product-not-known", scanned(WHOLE, known=False, listed=False))
    assert finding is not None
    assert finding.level is Level.NOTE


def test_what_has_no_product_number_is_not_asked_for_its_product_lot_or_expiry() -> None:
    box = scanned("]C1" + "00376104250021234569", known=False)
    assert scan_findings(box) == ()
    assert [one.rule for one in scan_findings(scanned("12345-678-90", known=False))] == ["scan-without-lot-or-expiry"]


def test_a_web_address_without_a_key_is_named_so() -> None:
    finding = found("symbol-not-gs1", scanned("https://example.com/"))
    assert finding is not None
    assert finding.says == "A web address without a GS1 key: https://example.com/."


def test_stops_come_first() -> None:
    expired = replace(scanned(f"]d2{GTIN}17261124", known=False), listed=False)
    assert [one.level for one in scan_findings(expired)] == [Level.STOP, Level.NOTE, Level.NOTE]
