"""Tasks as data: a card gives nothing away, a key gives everything, and supplies are counted."""

import json

from drawndose.lab.tasks.task_data import card_data, key_data, set_data, supplies_data
from drawndose.lab.tasks.task_set import task_set
from tests.lab.samples import NOON

SET = task_set("lab 7", 6, NOON)
TASKS = [one for seat in SET.seats for one in seat.tasks]


def test_everything_is_plain_data() -> None:
    for made in (set_data(SET, key=True), set_data(SET, key=False), supplies_data(SET)):
        assert json.loads(json.dumps(made)) == made


def test_a_card_gives_nothing_away() -> None:
    for one in TASKS:
        assert list(card_data(one)) == ["title", "order", "person", "on_the_table"]
        for secret in (one.id, one.template, one.key.says):
            assert secret not in json.dumps(card_data(one))
        assert (key_data(one)["task"], key_data(one)["minutes"]) == (one.id, one.minutes)
    assert set_data(SET, key=False)["learners"][0]["tasks"][0] == card_data(SET.seats[0].tasks[0])  # type: ignore[index]


def test_a_key_gives_the_answer_and_why_to_stop() -> None:
    stop = next(one for one in TASKS if one.plan.takes == ())
    assert key_data(stop)["stops"] == {"rule": stop.key.rule, "why": stop.key.why, "do": stop.key.do}
    assert (key_data(stop)["volume"], key_data(stop)["wrong_ways"]) == (None, [])
    prepared = next(one for one in TASKS if one.key.measured)
    data = key_data(prepared)
    assert data["stops"] is None
    assert data["answer"] == prepared.key.says
    assert data["wrong_ways"]
    assert set(data["volume"]) == {"value", "unit", "text"}  # type: ignore[arg-type]


def test_supplies_name_stations_and_the_whole() -> None:
    data = supplies_data(SET)
    assert (data["seed"], data["learners"]) == ("lab 7", 6)
    assert [one["number"] for one in data["stations"]] == [1, 2, 3, 4]  # type: ignore[attr-defined]
    assert {"what", "count", "simulated"} == set(data["all"][0])  # type: ignore[index]
