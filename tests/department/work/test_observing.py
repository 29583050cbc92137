"""What is seen before and after: read as numbers, held against settings that prompt."""

from __future__ import annotations

import pytest

from drawndose.quantities import Refused
from tests.department.scene import scene

pytestmark = pytest.mark.usefixtures("storage")


def test_what_is_typed_is_read_as_numbers_and_what_is_empty_is_not_there() -> None:
    from drawndose.department.work.observing import read_seen, words

    typed = {"pulse": " 88 ", "oxygen saturation": "97 %", "breath sounds": "clear  both", "peak flow": ""}
    seen = read_seen(typed, "before")
    assert seen == {"pulse": "88", "oxygen saturation": "97", "breath sounds": "clear both"}
    assert words(seen) == "pulse 88 per min, oxygen saturation 97 %, breath sounds clear both"
    assert words({}) == "not recorded"


def test_every_number_that_cannot_be_is_named() -> None:
    from drawndose.department.work.observing import read_seen

    with pytest.raises(Refused) as refused:
        read_seen({"pulse": "8o", "oxygen saturation": "970", "respiratory rate": "18.5"}, "after")
    assert [one.field for one in refused.value.faults] == [
        "pulse after",
        "respiratory rate after",
        "oxygen saturation after",
    ]


def test_prompts_name_both_numbers_and_follow_the_settings() -> None:
    from drawndose.department.work.observing import prompts
    from drawndose.department.work.policy import choose, policy

    on = scene()
    before, after = {"pulse": "88"}, {"pulse": "109", "oxygen saturation": "89", "respiratory rate": "31"}
    assert [one.partition(";")[0] for one in prompts(before, after)] == [
        "Pulse 88 before, 109 after: it rose by 21 per min",
        "Respiratory rate 31 per min after",
        "Oxygen saturation 89 % after",
    ]
    assert prompts({"pulse": "88"}, {"pulse": "108", "oxygen saturation": "90", "respiratory rate": "30"}) == ()
    for name, text in (("pulse_rise", "25"), ("rate_above", "never"), ("saturation_below", "88")):
        choose(name, text, reason="decided by the chief", by=on.cleo)
    assert prompts(before, after) == ()
    policy()
    with pytest.raises(Refused, match="whole number, or never"):
        choose("pulse_rise", "many", reason="because", by=on.cleo)
