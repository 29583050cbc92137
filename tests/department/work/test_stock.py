"""The stock: what expires next, doses left, what to reorder; whose a container is, corrections that append, and recall by lot."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from drawndose.quantities import Refused
from tests.department.furnished import LEVALBUTEROL
from tests.department.scene import BOTTLE, SALINE, labelled, received, scene

pytestmark = pytest.mark.usefixtures("storage")


def stock(on, wanted: str = "") -> dict:
    from drawndose.department.work import stock as service

    return {one.presentation.id: one for one in service.products(on.site, wanted)[0]}


def events(name: str) -> list:
    from drawndose.department.ledger.models import Event

    return list(Event.objects.filter(name=name).order_by("number"))


def test_doses_are_counted_by_container_and_by_what_a_dose_takes() -> None:
    from drawndose.department.work import shelf

    on = scene()
    shelf.receive(on.site, LEVALBUTEROL, "3 mL", lot="L7X", expiry=date(2099, 1, 31), by=on.ana, count=4)
    received(on, BOTTLE, "20 mL")
    found = stock(on)
    assert (found[LEVALBUTEROL].doses, found[LEVALBUTEROL].a_dose) == (4, "one container")
    assert (found[BOTTLE].doses, found[BOTTLE].a_dose) == (40, "0.5 mL (2.5 mg, from memory)")


def test_what_is_past_in_doubt_opened_or_anothers_is_no_dose_for_anyone() -> None:
    from drawndose.department.work import shelf
    from drawndose.department.work.models import Container

    on = scene()
    fresh, past, doubtful = (received(on, SALINE, "3 mL") for _ in range(3))
    Container.objects.filter(pk=past.pk).update(expiry=date(2020, 1, 31))
    shelf.doubt(doubtful, by=on.ana, version=doubtful.version, reason="fell down")
    opened = received(on, SALINE, "3 mL")
    shelf.open_it(opened, by=on.ana, version=opened.version)
    owned = received(on, BOTTLE, "20 mL")
    shelf.open_it(owned, by=on.ana, version=owned.version, owner=on.patient)
    found = stock(on)
    assert found[SALINE].doses == 1
    assert found[SALINE].next_day == fresh.expiry
    assert found[SALINE].standing[0].row == fresh
    assert found[BOTTLE].doses == 0
    assert [one.doses for one in found[BOTTLE].standing] == [40]


def test_what_runs_low_stands_first_also_when_all_of_it_is_gone() -> None:
    from drawndose.department.work import stock as service

    on = scene()
    received(on, SALINE, "3 mL")
    service.set_level(LEVALBUTEROL, "10", "", by=on.cleo, reason="a week's worth")
    service.set_level(BOTTLE, "30", "0.25 mL", by=on.cleo, reason="small doses here")
    received(on, BOTTLE, "20 mL")
    rows = service.products(on.site)[0]
    assert [(one.presentation.id, one.low) for one in rows] == [(LEVALBUTEROL, True), (BOTTLE, False), (SALINE, False)]
    assert (rows[0].doses, rows[0].standing) == (0, ())
    assert (rows[1].doses, rows[1].a_dose) == (80, "0.25 mL, set here")
    assert [one.content["reorder_at"] for one in events("stock.level")] == ["10", "30"]
    assert list(stock(on, "saline")) == []
    assert list(stock(on, "sodium 4k21")) == [SALINE]


def test_what_expires_next_stands_first() -> None:
    on = scene()
    soon = date.today() + timedelta(days=3)  # noqa: DTZ011 - invented
    received(on, SALINE, "3 mL", expiry=date(2098, 1, 31))
    received(on, LEVALBUTEROL, "3 mL", expiry=soon)
    assert list(stock(on)) == [LEVALBUTEROL, SALINE]


@pytest.mark.parametrize(
    ("presentation", "at", "takes", "reason"),
    [("nothing", "1", "", "x"), (SALINE, "-1", "", "x"), (SALINE, "many", "", "x"), (SALINE, "1", "2 mg", "x"), (SALINE, "1", "0 mL", "x"), (SALINE, "1", "", " ")],
)  # fmt: skip
def test_a_level_that_cannot_be_is_refused(presentation: str, at: str, takes: str, reason: str) -> None:
    from drawndose.department.work import stock as service
    from drawndose.department.work.models import StockLevel

    on = scene()
    with pytest.raises(Refused):
        service.set_level(presentation, at, takes, by=on.cleo, reason=reason)
    assert not StockLevel.objects.exists()


def test_a_correction_appends_and_the_fold_follows_it() -> None:
    from drawndose.department.work import shelf

    on = scene()
    _, bottle, _ = labelled(on)
    bottle.refresh_from_db()
    assert shelf.folded(bottle) == bottle.left_nl == 19_500_000
    for text, reason in (("18 mL", " "), ("20.5 mL", "x"), ("0 mL", "x"), ("18 mg", "x"), ("half", "x")):
        with pytest.raises(Refused):
            shelf.correct(bottle, text, by=on.ana, version=bottle.version, reason=reason)
    shelf.correct(bottle, "18 mL", by=on.ana, version=bottle.version, reason="measured in a cylinder")
    assert shelf.folded(bottle) == bottle.left_nl == 18_000_000
    shelf.empty(bottle, by=on.ana, version=bottle.version)
    assert shelf.folded(bottle) == bottle.left_nl == 0
    shelf.correct(bottle, "2 mL", by=on.ana, version=bottle.version, reason="the wrong bottle was said")
    assert (shelf.folded(bottle), bottle.left_nl, bottle.state) == (2_000_000, 2_000_000, "opened")


def test_an_opened_bottle_belongs_to_one_person_and_stays_theirs() -> None:
    from drawndose.department.work import patients, shelf

    on = scene()
    bottle = received(on, BOTTLE, "20 mL")
    shelf.open_it(bottle, by=on.ana, version=bottle.version)
    with pytest.raises(Refused, match="no shared ones"):
        shelf.own(bottle, None, by=on.ana, version=bottle.version)
    shelf.own(bottle, on.patient, by=on.ana, version=bottle.version)
    other = patients.add(
        patients.Identity(name="Specimen, Eli", born=date(2020, 5, 1), number="310472"),
        by=on.ana,
        today=date(2026, 11, 25),
    )
    with pytest.raises(Refused, match="belongs to a person already"):
        shelf.own(bottle, other, by=on.ana, version=bottle.version)
    assert [one.content["owner"] for one in events("container.owned")] == ["204118"]


def test_a_recall_names_who_got_it_what_is_left_and_where() -> None:
    from drawndose.department.work.stock import lots_like, recall

    on = scene()
    made, bottle, _ = labelled(on)
    received(on, LEVALBUTEROL, "3 mL", lot="Q1")
    found = recall(" 4k21 ")
    assert {one.row.presentation for one in found} == {BOTTLE, SALINE}
    of_bottle = next(one for one in found if one.row.pk == bottle.pk)
    assert [(one.volume_nl, one.preparation.order.patient.number) for one in of_bottle.draws] == [(500_000, "204118")]
    assert of_bottle.draws[0].preparation == made
    assert recall("4K2") == recall("") == []
    assert lots_like("4K2I") == ["4K21"]


def test_a_code_that_was_matched_wrongly_is_matched_anew_with_a_reason() -> None:
    from drawndose.department.work import known_codes

    on = scene()
    known_codes.remember("00312345678906", SALINE, "3 mL", by=on.ana)
    with pytest.raises(Refused, match="reason"):
        known_codes.match_anew("00312345678906", LEVALBUTEROL, "3 mL", by=on.ben, reason=" ")
    known_codes.match_anew("00312345678906", LEVALBUTEROL, "3 mL", by=on.ben, reason="looked at the carton")
    said = known_codes.known("00312345678906")
    assert (said.presentation, said.by) == (LEVALBUTEROL, on.ben)
    (event,) = events("code.matched_anew")
    assert event.content["from"] == {"presentation": SALINE, "pack": "3 mL"}


def test_of_lots_that_begin_alike_the_ones_that_go_on_alike_stand_first() -> None:
    from drawndose.department.work.stock import lots_like
    from tests.department.scene import BOTTLE, received, scene

    on = scene()
    for lot in ("INV1R07", "INV4K21", "INV9C33", "OTHER"):
        received(on, BOTTLE, "20 mL", lot=lot)
    assert lots_like(" INV4K2I") == ["INV4K21", "INV1R07", "INV9C33"]
    assert lots_like(" ") == []
