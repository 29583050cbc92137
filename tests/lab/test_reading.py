"""Days, moments and shares out of plain data."""

from datetime import UTC, date, datetime
from fractions import Fraction

from drawndose.lab.reading import day, moment, share
from drawndose.quantities import Fault
from drawndose.reference.table import Table


def taken(reader, came: object) -> tuple[object, list[str]]:  # type: ignore[no-untyped-def]
    faults: list[Fault] = []
    return reader(Table({"key": came} if came is not None else {}, "t", faults), "key"), [one.rule for one in faults]


def test_a_moment_has_its_zone() -> None:
    assert taken(moment, "2026-03-02T12:00:00+00:00") == (datetime(2026, 3, 2, 12, tzinfo=UTC), [])
    assert taken(moment, None) == (None, [])
    for came in ("2026-03-02T12:00:00", "noon", 12):
        assert taken(moment, came) == (None, ["a moment with its zone is needed"])


def test_a_day() -> None:
    assert taken(day, "2026-03-02") == (date(2026, 3, 2), [])
    assert taken(day, None) == (None, [])
    for came in ("2.3.2026", 5):
        assert taken(day, came) == (None, ["a day is needed"])


def test_a_share() -> None:
    assert taken(share, "66.5") == (Fraction(133, 2), [])
    assert taken(share, "101")[1] == ["an exact number is needed"]
