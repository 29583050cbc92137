import re

import pytest

from drawndose.quantities import Refused
from drawndose.reference import How
from drawndose.reference.codes.dictionary import SETS, dictionary, matches, read_dictionary
from drawndose.reference.codes.elements import _WORKED

BOOK = dictionary()


def test_it_has_every_identifier_of_the_text_that_was_read() -> None:
    assert len(BOOK.identifiers) == 536
    assert BOOK.origin.how is How.READ
    assert [source.id for source in BOOK.sources] == [BOOK.origin.source]


def test_no_identifier_begins_another() -> None:
    for ai in BOOK.identifiers:
        assert [other for other in BOOK.identifiers if other != ai and other.startswith(ai)] == []
        assert re.fullmatch("[0-9]{2,4}", ai)


def test_predefined_lengths_are_those_of_the_table_of_the_standard() -> None:
    """The first two digits of an identifier alone tell a predefined length (General Specifications 7.8, from memory)."""
    table = {"00": 18, "01": 14, "02": 14, "03": 14, "20": 2, "41": 13}
    table |= dict.fromkeys(("11", "12", "13", "15", "16", "17"), 6)
    table |= dict.fromkeys(("31", "32", "33", "34", "35", "36"), 6)
    for one in BOOK.identifiers.values():
        assert one.fixed is (one.ai[:2] in table), one.ai
        if one.fixed:
            assert one.lengths == (table[one.ai[:2]],), one.ai


def test_every_rule_is_held_or_said_not_to_be() -> None:
    rules = {rule for one in BOOK.identifiers.values() for rule in one.rules}
    held = {*_WORKED, *BOOK.contents}
    assert rules == held | BOOK.unheld.keys()
    assert held.isdisjoint(BOOK.unheld)


def test_what_is_needed_or_excluded_exists() -> None:
    for one in BOOK.identifiers.values():
        patterns = [*one.excludes, *(p for demand in one.needs for group in demand for p in group)]
        patterns += [ai for way in one.qualifiers or () for ai in way]
        for pattern in patterns:
            assert any(matches(ai, pattern) for ai in BOOK.identifiers), (one.ai, pattern)


def test_only_the_last_piece_varies_or_is_missing() -> None:
    for one in BOOK.identifiers.values():
        for part, following in zip(one.parts, one.parts[1:], strict=False):
            assert part.least == part.most, one.ai
            assert following.optional or not part.optional, one.ai


def test_the_sets_have_their_sizes() -> None:
    assert {name: len(signs) for name, (signs, _) in SETS.items()} == {"N": 10, "X": 82, "Y": 39, "Z": 65}


@pytest.mark.parametrize(
    ("ai", "lengths", "words"),
    [
        ("10", (1, 20), "1 to 20 characters"),
        ("17", (6, 6), "6 digits"),
        ("423", (3, 15), "3 digits, then 3 digits or nothing, then 3 digits or nothing"),
        ("8008", (8, 12), "6 digits, then 2 digits, then 2 digits or nothing, then 2 digits or nothing"),
        ("253", (13, 30), "13 digits, then 1 to 17 characters or nothing"),
        ("8111", (4, 4), "4 digits"),
        ("4321", (1, 1), "1 digit"),
    ],
)
def test_lengths_and_words_of_a_format(ai: str, lengths: tuple[int, int], words: str) -> None:
    one = BOOK.identifiers[ai]
    assert (one.lengths[0], one.lengths[-1]) == lengths
    assert one.format.startswith(words)


def test_gaps_between_lengths() -> None:
    assert BOOK.identifiers["423"].lengths == (3, 6, 9, 12, 15)
    assert BOOK.identifiers["8008"].lengths == (8, 10, 12)


def test_where_an_identifier_begins() -> None:
    assert BOOK.at("xx10AB", 2) is BOOK.identifiers["10"]
    assert BOOK.at("3103001000", 0) is BOOK.identifiers["3103"]
    for data in ("04", "", "1", "3108000000", "999"[:1]):
        assert BOOK.at(data, 0) is None


GOOD = """
origin = { source = "a", at = "b", how = "read" }
identifier = [ { ai = "10", parts = ["X..20"], name = "lot" } ]
"""


def test_a_small_dictionary_is_read() -> None:
    assert list(read_dictionary(GOOD, "own").identifiers) == ["10"]


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        (('ai = "10"', 'ai = "1"'), "two to four digits, or a range of them"),
        (('"X..20"', '"Q..20"'), "a set, a length and rules"),
        (('"X..20"', '"[X..20"'), "a set, a length and rules"),
        (("} ]", '}, { ai = "10", parts = ["N2"], name = "again" } ]'), "no identifier is the beginning of another"),
        (("} ]", '}, { ai = "101", parts = ["N2"], name = "longer" } ]'), "no identifier is the beginning of another"),
        (('ai = "10"', 'ai = "101"'), ""),
        (("origin =", "orign ="), "a text is needed"),
        (("name =", "nme ="), "the key is not known here"),
    ],
)
def test_a_fault_of_the_file_is_named(change: tuple[str, str], rule: str) -> None:
    text = GOOD.replace(*change)
    if not rule:
        assert list(read_dictionary(text, "own").identifiers) == ["101"]
        return
    with pytest.raises(Refused, match=rule):
        read_dictionary(text, "own")


def test_a_shorter_identifier_after_a_longer_one_is_a_fault() -> None:
    text = GOOD.replace('ai = "10"', 'ai = "101"').replace("} ]", '}, { ai = "10", parts = ["N2"], name = "short" } ]')
    with pytest.raises(Refused, match="beginning of another"):
        read_dictionary(text, "own")
