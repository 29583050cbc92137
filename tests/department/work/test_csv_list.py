"""A list in CSV: its text out of bytes and its rows out of the text, or the reason why there are none."""

from __future__ import annotations

import pytest

from drawndose.department.work.csv_list import decode, table
from drawndose.quantities import Refused

KNOWN = ("number", "name", "note")


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("number\n7ü\n".encode("latin-1"), 'it is not in UTF-8. Came: "byte 0xfc in line 2"'),
        ("number\n".encode("utf-16"), "it is in UTF-16"),
        (b"PK\x03\x04", "it is a spreadsheet's own file"),
        (b"a\nb\0", "NUL in line 2"),
        (b"x" * 11, 'it is larger than is read at once. Came: "11 bytes"'),
    ],
)
def test_what_is_no_text_is_named(content: bytes, said: str) -> None:
    with pytest.raises(Refused) as met:
        decode(content, 10 if len(content) > 10 and content[:1] == b"x" else 99)
    assert said in str(met.value)


def test_rows_keep_their_numbers_and_another_length_is_a_fault_of_its_row() -> None:
    text = decode(b'\xef\xbb\xbfNAME , number\r\n\r\nLea,1\r\n"Nia, A",2\r\nOda\r\n', 99)
    rows, faults = table(text, KNOWN, KNOWN[:2], 3)
    assert rows == [(3, {"name": "Lea", "number": "1"}), (4, {"name": "Nia, A", "number": "2"})]
    assert [one.field for one in faults] == ["row 5"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("number;name\n1;A\n", "cells are parted by commas"),
        ("number,name,born\n", "no such column"),
        ("number,name,name\n", "the column stands twice"),
        ("number\n1\n", "the column name is missing"),
        ("number,name\n,\n", "a list has 1 to 3 rows"),
        ("number,name\n1,A\n2,A\n3,A\n4,A\n", "a list has 1 to 3 rows"),
        ('number,name\n1,"A', "the quotes do not fit"),
    ],
)
def test_what_is_no_such_list_is_refused(text: str, said: str) -> None:
    with pytest.raises(Refused, match=said):
        table(text, KNOWN, KNOWN[:2], 3)
