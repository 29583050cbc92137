"""Around the giving: taken back within seconds, written down late, what was seen before and after, what closing keeps."""

from __future__ import annotations

from datetime import timedelta

import pytest

from drawndose.quantities import Refused
from tests.department.scene import labelled, planned, scene

pytestmark = pytest.mark.usefixtures("storage")

WHO = ("204118", "1961-11-05")


def test_given_is_taken_back_by_the_one_who_pressed_it_within_seconds(clock) -> None:
    from drawndose.department.work import giving

    on = scene()
    made, _, _ = labelled(on)
    giving.give(made, *WHO, by=on.cleo, version=made.version)
    with pytest.raises(Refused, match="another person"):
        giving.take_back(made, by=on.ben, version=made.version)
    giving.take_back(made, by=on.cleo, version=made.version)
    assert (made.state, made.dose.state, made.given_at, made.given_by) == ("labelled", "prepared", None, None)
    giving.give(made, *WHO, by=on.cleo, version=made.version)
    clock.stands(clock.at + giving.UNDO + giving.LATE + timedelta(seconds=1))
    with pytest.raises(Refused, match="some seconds"):
        giving.take_back(made, by=on.cleo, version=made.version)
    assert made.state == "given"


def test_not_given_is_taken_back_too() -> None:
    from drawndose.department.work import giving

    on = scene()
    made, _, _ = labelled(on)
    giving.not_given(made, by=on.ana, version=made.version, reason="asleep", told="Dr. Invented")
    giving.take_back(made, by=on.ana, version=made.version)
    assert (made.state, made.dose.state) == ("labelled", "prepared")


def test_a_start_written_down_late_lies_between_preparing_and_now() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work import giving

    on = scene()
    made, _, _ = labelled(on)
    for wrong in (now() + timedelta(minutes=5), made.started_at - timedelta(minutes=5)):
        with pytest.raises(Refused, match="giving starts after preparing began"):
            giving.give(made, *WHO, by=on.cleo, version=made.version, started=wrong)
    giving.give(made, *WHO, by=on.cleo, version=made.version, started=made.started_at)
    assert made.given_at == made.started_at


def test_closing_keeps_how_it_was_taken_and_where_waste_went() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.ledger.models import Event
    from drawndose.department.work import giving

    on = scene()
    made, _, _ = labelled(on)
    giving.give(made, *WHO, by=on.cleo, version=made.version, observed={"pulse": "88"})
    amounts = {"given_nl": 2_000_000, "wasted_nl": 1_000_000, "left_nl": 0}
    early = made.given_at - timedelta(minutes=1)
    with pytest.raises(Refused, match="giving ends after it starts"):
        giving.close(made, **amounts, by=on.cleo, version=made.version, ended_at=early)
    done = {"outcome": "stopped: tremor", "stream": "drug waste", "observed": {"pulse": "118"}, "ended_at": now()}
    assert giving.close(made, **amounts, by=on.cleo, version=made.version, **done) == ()
    assert made.observed == {
        "weight": "",
        "before": {"pulse": "88"},
        "after": {"pulse": "118"},
        "outcome": "stopped: tremor",
        "stream": "drug waste",
    }
    content = Event.objects.filter(name="preparation.closed").get().content
    assert (content["outcome"], content["stream"], content["after"]) == (
        "stopped: tremor",
        "drug waste",
        {"pulse": "118"},
    )


@pytest.mark.parametrize(("came", "kept"), [("0.503 g", "0.503 g"), (" 503 mg ", "503 mg"), ("", "")])
def test_a_weight_is_kept_beside_the_volume(came: str, kept: str) -> None:
    from drawndose.department.work import preparing

    made, _, _ = planned(scene())
    preparing.drawn(made, [".5 mL"], by=made.by, version=made.version, weight=came)
    assert (made.readings, made.observed["weight"]) == (["1/2"], kept)


@pytest.mark.parametrize("came", ["0.5 mL", "0 g", "heavy"])
def test_a_weight_that_is_none_draws_nothing(came: str) -> None:
    from drawndose.department.work import preparing

    made, bottle, _ = planned(scene())
    with pytest.raises(Refused):
        preparing.drawn(made, ["0.5 mL"], by=made.by, version=made.version, weight=came)
    bottle.refresh_from_db()
    assert (made.state, bottle.left_nl) == ("planned", 20_000_000)
