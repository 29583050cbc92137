"""When the last dose was given, out of a text and a field."""

from datetime import datetime

import pytest

from drawndose import Refused
from drawndose.bench.order import read_fields
from drawndose.bench.order.last_dose import last_dose_in
from tests.bench.benches import BOOK
from tests.bench.order.asked import order, told

DRUG = "albuterol 2.5 mg by nebulizer every 4 hours"
TEN = datetime(2026, 11, 25, 10, 0)


@pytest.mark.parametrize(
    "words",
    [
        "last dose 2026-11-25 10:00",
        "last dose: 2026-11-25 10:00",
        "last dose given at 2026-11-25 10:00",
        "last dose was given on 2026-11-25T10:00",
        "Last treatment 2026-11-25 10:00",
    ],
)
def test_the_last_dose_is_a_day_and_a_time(words: str) -> None:
    for text in (f"{DRUG}, {words}", f"{words}, {DRUG}", f"{DRUG}; {words}; weight 8 kg"):
        read = order(text)
        assert read.last_dose == TEN
        assert [line.drug.id for line in read.lines] == ["albuterol"]
    (span,) = [one for one in order(f"{DRUG}, {words}").spans if one.field == "last dose"]
    assert span.reading == "25 Nov 2026 10:00"


@pytest.mark.parametrize("words", ["last dose 2026-11-25 24:10", "last dose 2026-02-30 10:00"])
def test_a_moment_that_is_none_is_refused(words: str) -> None:
    assert told(f"{DRUG}, {words}") == [("a time is a day and a time of 24 h", words)]


def test_a_time_without_its_day_is_not_understood() -> None:
    assert any("not understood" in rule for rule, _ in told(f"{DRUG}, last dose 10:00"))


def test_two_different_ones_are_refused_and_the_same_one_twice_is_one() -> None:
    again = "last dose 2026-11-25 10:00, last dose 2026-11-25"
    assert order(f"{DRUG}, {again} 10:00").last_dose == TEN
    (rule,) = {rule for rule, _ in told(f"{DRUG}, {again} 11:00")}
    assert rule == "the order says it twice, differently"


def test_a_field_takes_the_moment_alone_or_in_its_words() -> None:
    assert last_dose_in(" 2026-11-25 10:00 ") == last_dose_in("last dose 2026-11-25 10:00") == TEN
    fields = {"drug": "albuterol", "dose": "2.5 mg", "route": "by nebulizer", "last_dose": "2026-11-25 10:00"}
    assert read_fields(fields, catalogue=BOOK).last_dose == TEN
    with pytest.raises(Refused) as refused:
        read_fields({**fields, "last_dose": "ten o'clock"}, catalogue=BOOK)
    assert [(fault.field, fault.accepted) for fault in refused.value.faults] == [("last_dose", "2026-11-25 10:00")]
