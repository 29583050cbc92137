"""A pasted column or CSV text: all of it, exactly, or every fault with its row."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.science import import_readings as rules
from drawndose.science.import_readings import decode_readings, read_readings, sift_readings, weighings


def faults(text: str, **more: object) -> list[tuple[str, str]]:
    with pytest.raises(Refused) as refusal:
        read_readings(text, **more)  # type: ignore[arg-type]
    return [(fault.field, fault.rule) for fault in refusal.value.faults]


def test_a_column_keeps_its_digits() -> None:
    rows = read_readings("0.512\r\n0.4980\r\n", unit="g")
    assert [row.readings["net"].value for row in rows] == [Fraction(512, 1000), Fraction(498, 1000)]
    assert [row.number for row in rows] == [1, 2]


@pytest.mark.parametrize(
    "text",
    [
        "without (g),with (g)\n12.1,12.6",
        "tare\tgross\n12.1 g\t12.6 g",
        "Empty [mg];Full_mg\n12100;12600",
        'vessel g,reading mg\n"12.1","12600"',
        "\ufeffbefore,after\n\n12.1,12.6\n\n",
    ],
)
def test_headings_name_columns_and_units(text: str) -> None:
    ((_, found),) = weighings(read_readings(text, unit="g"))
    assert (found.without_g, found.with_g, found.without_again_g) == (12.1, 12.6, None)


def test_columns_may_be_named_by_the_caller() -> None:
    rows = read_readings("12.1,12.6,12.1002", columns=("without", "with", "again"), unit="g")
    assert weighings(rows)[0][1].without_again_g == 12.1002


def test_a_net_mass_is_a_weighing_from_nothing() -> None:
    ((name, found),) = weighings(read_readings("512 mg"))
    assert name == "row 1"
    assert (found.without_g, found.with_g) == (0.0, 0.512)


def test_volumes_are_read_and_are_no_weighings() -> None:
    rows = read_readings("volume (mL)\n0.5\n500 ul")
    assert rows[0].readings["volume"] == rows[1].readings["volume"]
    with pytest.raises(Refused, match="a weighing needs a net mass"):
        weighings(rows)


@pytest.mark.parametrize(
    ("text", "field", "rule"),
    [
        ("0,512", "row 1, net", rules.DECIMAL_COMMA),
        ("0.5\nmass (g)\n0.5", "row 2, net", rules.HEADING_INSIDE),
        ("0.5\n?", "row 2, net", rules.NOT_A_NUMBER),
        ("0.5\n1e-3", "row 2, net", rules.NOT_A_NUMBER),
        ("0.5\nnan", "row 2, net", rules.HEADING_INSIDE),
        ("-0.5", "row 1, net", rules.NEGATIVE),
        ("−0.5", "row 1, net", rules.NEGATIVE),
        ("0.5 mL", "row 1, net", rules.NO_UNIT),
        ("0.5 oz", "row 1, net", rules.NO_UNIT),
        ("1.2.3", "row 1, net", "a number is digits with at most one point"),
        ("12.1;12.6", "row 1", rules.CELLS),
        ("", "readings", rules.NONE),
        (" \n\n", "readings", rules.NONE),
        ("mass", "readings", rules.NONE),
        ("colour\n0.5", "heading 1", rules.UNKNOWN_HEADING),
        ("net;mass\n1;2", "heading 2", rules.TWICE),
    ],
)
def test_a_fault_is_named_with_its_row(text: str, field: str, rule: str) -> None:
    assert faults(text, unit="g") == [(field, rule)]


def test_a_number_without_any_unit_is_not_guessed() -> None:
    assert faults("0.512") == [("row 1, net", rules.NO_UNIT)]


def test_a_row_in_another_unit_is_seen_among_the_others() -> None:
    assert faults("0.512\n0.498\n503\n0.501", unit="g") == [("row 3, net", rules.OTHER_UNIT)]
    assert len(read_readings("0.512 g\n498 mg\n503 mg\n0 mg")) == 4


def test_all_faults_are_told_together() -> None:
    found = faults("without,with\n12,1,12.6\n12.1,x\n12.1,-12.6\n12.1,12.6", unit="g")
    assert found == [
        ("row 2", rules.CELLS), ("row 3, with", rules.HEADING_INSIDE), ("row 4, with", rules.NEGATIVE),
    ]  # fmt: skip


def test_columns_that_count_or_date_the_draws_are_passed_over() -> None:
    text = "No.;date;without (g);with (g)\n1;25 Nov 2026;12.1;12.6\n2;;12.2;12.7"
    found = weighings(read_readings(text))
    assert [(name, round(one.net_g, 6)) for name, one in found] == [("row 2", 0.5), ("row 3", 0.5)]
    with pytest.raises(Refused, match="a weighing needs a net mass"):
        weighings(read_readings("draw\n1"))


def test_decimal_commas_are_named_where_commas_part_the_cells() -> None:
    assert faults("without,with\n12,1,12,6", unit="g") == [("row 2", rules.DECIMAL_COMMA)]
    assert faults("without;with\n12,1;12,6", unit="g") == [
        ("row 2, without", rules.DECIMAL_COMMA), ("row 2, with", rules.DECIMAL_COMMA),
    ]  # fmt: skip


def test_good_rows_are_sifted_from_the_others() -> None:
    rows, wrong = sift_readings("0.512\n0,498\n0.503\n0.501\n502", unit="g")
    assert [row.number for row in rows] == [1, 3, 4, 5]
    assert [(fault.field, fault.rule) for fault in wrong] == [
        ("row 2, net", rules.DECIMAL_COMMA), ("row 5, net", rules.OTHER_UNIT),
    ]  # fmt: skip


def test_every_row_with_a_number_that_no_balance_shows_is_named() -> None:
    with pytest.raises(Refused) as refusal:
        weighings(read_readings("123456789012\n223456789012 g", unit="g"))
    assert [fault.field for fault in refusal.value.faults] == ["row 1, reading_g", "row 2, reading_g"]


@pytest.mark.parametrize(
    ("content", "rule"),
    [
        (b"0.5\n" * 30_000, rules.TOO_LARGE),
        ("0.5\n0.6".encode("utf-16"), rules.NOT_TEXT),
        ("0.5\n0.6".encode("utf-16-le"), rules.NOT_TEXT),
        (b"PK\x03\x04\xff", rules.NOT_TEXT),
        ("Küche\n0.5".encode("latin-1"), rules.NOT_TEXT),
    ],
)
def test_a_file_that_is_no_text_in_utf_8_or_too_large_is_refused(content: bytes, rule: str) -> None:
    with pytest.raises(Refused, match=rule):
        decode_readings(content)


def test_a_file_of_a_spreadsheet_saved_as_utf_8_is_read() -> None:
    assert decode_readings("\ufeff0.5\r\n0.6\r\n".encode()) == "0.5\r\n0.6\r\n"


def test_too_many_rows_are_refused() -> None:
    assert faults("0.5\n" * (rules.MOST_ROWS + 1), unit="g") == [("readings", rules.TOO_MANY)]


@given(st.lists(st.integers(100_000, 999_999), min_size=1, max_size=20))
def test_what_is_written_is_read(milligrams: list[int]) -> None:
    text = "\n".join(f"{one / 1000:.3f}" for one in milligrams)
    assert [row.readings["net"].value * 1000 for row in read_readings(text, unit="mg")] == milligrams


@given(st.text(alphabet="0123456789.,;- gm\n\twith", max_size=60))
def test_any_text_is_read_whole_or_refused_whole(text: str) -> None:
    lines = [line for line in text.splitlines() if line.strip()]
    try:
        rows = read_readings(text, unit="g")
    except Refused:
        return  # a Refused cannot be made without a fault
    heading = not any(character.isdigit() for character in lines[0])
    assert len(rows) == len(lines) - heading
    assert all(row.readings for row in rows)
