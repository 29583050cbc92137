"""Cases of codes: every kind, what is asked, what is refused, and what is not known."""

import pytest

from drawndose.bench.code_cases import KINDS, WORDS, solve
from drawndose.bench.verification import Outcome, Status, verify
from drawndose.reference.cases import Case


def run(name: str, text: object, answer: str, **given: object) -> Outcome:
    values = {"text": text, **given} if text is not None else given
    case = Case(
        file="x.toml",
        id="one",
        kind=f"codes.{name}",
        given=values,  # type: ignore[arg-type]
        expect={"answer": answer},
        standing="derived",
        source="s",
    )
    return verify([case], {"codes": solve}).outcomes[0]


@pytest.mark.parametrize(
    ("name", "text", "answer"),
    [
        ("check_digit", "629104150021", "3"),
        ("check_digit", "62910415002A", "invalid"),
        ("valid", "6291041500213", "true"),
        ("valid", "6291041500231", "false"),
        ("date_17", "270200", "2027-02-28"),
        ("date_11", "261125", "2026-11-25"),
        ("date_17", "270229", "invalid"),
        ("date_7003", "2711300800", "2027-11-30 08:00"),
        ("date_7003", "2711300800", "2027-11-30"),
        ("date_7003", "2711302400", "invalid"),
        ("date_7006", "271100", "invalid"),
        ("parse", "]d201003123456789061727020010AB12<GS>21SN5", "(01)00312345678906 (10)AB12 (17)270200 (21)SN5"),
        ("parse", "]d201003123456789061727020010AB12<GS>21SN5", "(01)00312345678906 (17)270200 (10)AB12 (21)SN5"),
        ("parse", "]d2010031234567890610AB1217270200", "ask"),
        ("parse", "]d2010031234567890610AB1217270200", "ambiguous"),
        ("parse", "]d2010031234567890610AB1217270200", "(01)00312345678906 (10)AB1217270200"),
        ("parse", "]d2" + "10AB12" + "0100312345678906", "ask"),
        ("parse", "]d1ABC123", "not_gs1"),
        ("parse", "12345-678-90", "12345-678-90"),
        ("parse", "]d20100312345678907", "error check digit"),
        ("parse", "]d2010031234567890610ABCDEFGHIJKLMNOPQRSTU", "error length"),
        ("parse", "]d2010031234567890630A", "error not numeric"),
        ("parse", "]d2010031234567890610A B", "error character"),
        ("parse", "]d2010031234567890617261301", "error date"),
        ("parse", "]d20100312345678906" + "70032711000800", "error day 00"),
        ("parse", "]d20100312345678906" + "70032711302400", "error content"),
        ("parse", "]d204", "error unknown identifier"),
        ("parse", "]d2010031234567890610A<GS>10B", "error twice"),
        ("parse", "]d20100312345678906" + "255" + "4012345678901", "error excludes"),
        ("parse", "]X1", "error symbology"),
        ("parse", "]d21727020010AB12", "error needs GTIN"),
        ("parse", "]d27022AB", "error needs (7021)"),
        ("parse", "]E12", "error"),
        ("parse", "", "invalid"),
        ("ndc10_to_gtin14", "1234567890", "00312345678906"),
        ("ndc10_to_gtin14", "12345-678-90", "00312345678906"),
        ("ndc10_to_gtin14_indicator5", "1234567890", "50312345678901"),
        ("ndc10_to_gtin14", "12345067890", "invalid"),
        ("ndc10_to_gtin12", "1234567890", "312345678906"),
        ("ndc10_to_ndc11", "12345-6789-0", "12345678900"),
        ("ndc10_to_ndc11", "12345-6789-0", "12345-6789-00"),
        ("ndc10_to_ndc11", "1234567890", "ambiguous"),
        ("ndc11_to_ndc10", "12345067890", "12345-678-90"),
        ("ndc11_to_ndc10", "12345067890", "1234567890"),
        ("ndc11_to_ndc10", "01234056708", "ambiguous"),
        ("ndc11_to_ndc10", "12345678912", "invalid"),
        ("ndc11_to_ndc10", "12345-678-90", "invalid"),
        ("gtin14_to_ndc10", "00312345678906", "1234567890"),
        ("gtin14_to_ndc10", "06291041500213", "invalid"),
        ("ndc12_shape", "123456-7890-12", "valid 6-4-2"),
        ("ndc12_shape", "123456789012", "valid 6-4-2"),
        ("ndc12_shape", "12345-6789-012", "invalid"),
        ("ndc12_shape", "12345-678-90", "invalid"),
    ],
)
def test_a_kind(name: str, text: str, answer: str) -> None:
    outcome = run(name, text, answer)
    assert outcome.status is Status.PASSED, outcome


def test_a_wrong_expectation_fails() -> None:
    assert run("check_digit", "629104150021", "4").status is Status.FAILED
    assert (
        run("parse", "]d2010031234567890610AB1217270200", "(01)00312345678906 (10)AB12 (17)270200").status
        is Status.FAILED
    )
    assert run("ndc10_to_gtin14", "1234567890", "312345678906").status is Status.FAILED
    assert run("date_17", "270200", "2027-02-27").status is Status.FAILED
    assert run("parse", "]d20100312345678907", "error length").status is Status.FAILED


def test_the_current_year_counts() -> None:
    assert run("date_17", "210101", "2121-01-01", current_year=2071).status is Status.PASSED
    assert run("date_17", "210101", "2021-01-01").status is Status.PASSED
    assert run("parse", "]d20100312345678906" + "17000229", "error date", current_year="2080").status is Status.PASSED


@pytest.mark.parametrize("name", ["date_99x", "date_04", "ndc10_to_gtin14_indicatorx", "colour"])
def test_an_unknown_kind_is_unsupported(name: str) -> None:
    outcome = run(name, "1", "1")
    assert (outcome.status, outcome.reason) == (Status.UNSUPPORTED, f"the kind codes.{name}")


def test_an_unknown_input_is_unsupported() -> None:
    outcome = run("valid", "1", "true", colour="red")
    assert (outcome.status, outcome.reason) == (Status.UNSUPPORTED, "the input colour of codes.valid")


@pytest.mark.parametrize(
    ("text", "given"), [(None, {}), (12, {}), ("1", {"current_year": "soon"}), ("1", {"current_year": 26})]
)
def test_a_missing_or_impossible_input_is_refused(text: object, given: dict[str, object]) -> None:
    assert run("valid", text, "invalid", **given).status is Status.PASSED


def test_a_print_in_digits_of_a_code_is_compared_as_it_stands() -> None:
    case = Case(
        file="x.toml",
        id="one",
        kind="codes.check_digit",
        given={"text": "629104150021"},
        expect={"answer": "3"},
        standing="published",
        source="s",
        as_printed="3",
        print_is="exact",
    )
    assert verify([case], {"codes": solve}).outcomes[0].status is Status.PASSED


def test_every_word_of_a_fault_is_told_by_some_case_above() -> None:
    assert {word for words in WORDS.values() for word in words} == {
        *("length", "not numeric", "character", "check digit", "content", "date", "day 00", "unknown identifier"),
        *("twice", "excludes", "symbology"),
    }
    assert len(KINDS) == 9
