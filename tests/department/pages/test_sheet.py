"""The sheet from its start to its closed record, as a browser without scripts sends it; and every way in which it must stop."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Any

import pytest

from tests.department.crew import crew
from tests.department.scene import BOTTLE, SALINE, order, received
from tests.pages import client, words

pytestmark = pytest.mark.usefixtures("storage")

GTIN = "00312345678906"


def browser(who: Any) -> Any:
    made = client()
    made.force_login(who)
    return made


def page(answer: Any) -> str:
    """The visible words of an answer, without the veil that waits in it."""
    told = words(answer.content.decode().partition("<template")[0])
    return re.sub(r" (?=[:.,;])", "", told)


def form(answer: Any, ident: str = "", do: str = "") -> dict[str, Any]:
    """The fields of a form as a browser would send them: by its id, or by the value of its hidden `do`."""
    html = answer.content.decode()
    for found in re.finditer(r"<form\b[^>]*>.*?</form>", html, flags=re.DOTALL):
        text = found.group()
        if ident and f'id="{ident}"' not in text.split(">")[0]:
            continue
        if do and f'name="do" value="{do}"' not in text:
            continue
        fields: dict[str, list[str]] = {}
        for tag in re.findall(r"<input\b[^>]*>", text):
            name, value = re.search(r'name="([^"]*)"', tag), re.search(r'value="([^"]*)"', tag)
            kind = re.search(r'type="([^"]*)"', tag)
            if name and (kind is None or kind[1] != "radio" or " checked" in tag):
                fields.setdefault(name[1], []).append(value[1] if value else "")
        for name, inner in re.findall(r'<select[^>]* name="([^"]*)"[^>]*>(.*?)</select>', text, flags=re.DOTALL):
            chosen = re.search(r"<option selected>([^<]*)", inner)
            fields[name] = [chosen[1] if chosen else ""]
        fields.pop("csrfmiddlewaretoken", None)
        return {name: value[0] if len(value) == 1 else value for name, value in fields.items()}
    raise AssertionError(f"no form {ident or do}: {words(html)}")


def events(*kinds: str) -> list[str]:
    from drawndose.department.ledger.models import Event

    return list(Event.objects.filter(subject_kind__in=kinds).order_by("number").values_list("name", flat=True))


def begun(on: Any, text: str = "", **more: Any) -> tuple[Any, Any]:
    """A browser of Ana's, and a sheet that she began from a due dose."""
    from drawndose.department.work import preparing

    entered = order(on, text) if text else order(on)
    made = preparing.begin(entered, by=on.ana, dose=entered.duedose_set.order_by("due_at").first(), **more)
    return browser(on.ana), made


def taken(on: Any, **more: Any) -> tuple[Any, Any, Any, Any]:
    """The same with bottle and saline taken by scan."""
    ana, made = begun(on, **more)
    bottle, saline = received(on, BOTTLE, "20 mL"), received(on, SALINE, "3 mL", lot="S77")
    place = ana.get(f"/sheet/{made.pk}/in-hand/?t=1&s={bottle.pk}&s={saline.pk}&cup=cup-6")
    answer = ana.post(f"/sheet/{made.pk}/in-hand/", form(place, "use-form"))
    assert answer.status_code == 302, page(answer)
    made.refresh_from_db()
    return ana, made, bottle, saline


def checked(ana: Any, made: Any, lot: str = "4K21") -> Any:
    """Answer the label check that is due."""
    return ana.post(f"/sheet/{made.pk}/draw/", form(ana.get(f"/sheet/{made.pk}/draw/"), do="check") | {"scan": lot})


def press(who: Any, address: str, ident: str, **more: str) -> Any:
    return who.post(address, form(who.get(address), ident) | more)


def quiet(monkeypatch: pytest.MonkeyPatch) -> None:
    """Scans that follow one another at once are two scans here."""
    from drawndose.department.work import checklist

    monkeypatch.setattr(checklist, "TWICE", timedelta(0))


def drawn(on: Any, monkeypatch: pytest.MonkeyPatch, **more: Any) -> tuple[Any, Any]:
    """A drawn preparation with its three label checks."""
    quiet(monkeypatch)
    ana, made, _, _ = taken(on, **more)
    checked(ana, made)
    answer = press(ana, f"/sheet/{made.pk}/draw/", "reading-form", do="draw")
    assert answer.status_code == 302, page(answer)
    checked(ana, made)
    made.refresh_from_db()
    return ana, made


def labelled(on: Any, monkeypatch: pytest.MonkeyPatch, **more: Any) -> tuple[Any, Any]:
    ana, made = drawn(on, monkeypatch, **more)
    answer = press(ana, f"/sheet/{made.pk}/label/", "label-form", do="label")
    assert answer.status_code == 302, page(answer)
    made.refresh_from_db()
    return ana, made


# ---- the main job ------------------------------------------------------------------------------------------


def test_from_a_due_dose_to_a_closed_record(monkeypatch: pytest.MonkeyPatch) -> None:
    from drawndose.department.ledger.chain import first_broken
    from drawndose.department.ledger.models import Event
    from drawndose.department.work.models import Preparation

    quiet(monkeypatch)
    on = crew()
    ana, cleo = browser(on.ana), browser(on.cleo)
    dose = order(on).duedose_set.order_by("due_at").first()
    bottle, saline = received(on, BOTTLE, "20 mL"), received(on, SALINE, "3 mL", lot="S77")
    start = ana.get(f"/sheet/new/?dose={dose.pk}")
    assert "Our reading" in page(start)
    assert not Preparation.objects.exists()
    answer = ana.post("/sheet/new/", form(start, "begin-form"))
    made = Preparation.objects.get()
    address = f"/sheet/{made.pk}/"
    assert answer["Location"] == f"{address}in-hand/"
    for lot in ("4K21", "S77"):
        answer = ana.post(
            answer["Location"].partition("?")[0], form(ana.get(answer["Location"]), "scan-form") | {"scan": lot}
        )
        assert answer.status_code == 302, page(answer)
    here = ana.get(f"{answer['Location']}&cup=cup-6")
    assert "calibrated dropper" in page(here)
    assert ana.post(f"{address}in-hand/", form(here, "use-form"))["Location"] == f"{address}draw/"
    assert "Draw up 0.5 mL of albuterol 0.5 % solution" in page(ana.get(f"{address}draw/"))
    checked(ana, made)
    assert press(ana, f"{address}draw/", "reading-form", do="draw")["Location"] == f"{address}draw/#check"
    assert checked(ana, made)["Location"] == f"{address}label/"
    assert press(ana, f"{address}label/", "label-form", do="label")["Location"] == f"{address}label/?print=1"
    answer = press(cleo, f"{address}give/", "give-form", do="given", number="204118", born="05 Nov 1961")
    assert answer["Location"] == f"{address}close/", page(answer)
    assert press(cleo, f"{address}close/", "close-form", do="close")["Location"] == f"{address}record/"
    made.refresh_from_db()
    bottle.refresh_from_db()
    saline.refresh_from_db()
    assert (made.state, made.given_by, made.given_nl, made.observed["outcome"]) == (
        "closed",
        on.cleo,
        3_000_000,
        "tolerated",
    )
    assert (bottle.left_nl, saline.state) == (19_500_000, "discarded")
    assert events("steps") == ["label.checked"] * 3
    assert first_broken(Event.objects.order_by("number")) is None
    record = page(ana.get(f"{address}record/"))
    for said in (
        "Ana Sample Drew it",
        "Cleo Specimen Gave it",
        "Prepared 3 mL Given 3 mL Wasted 0 mL Left 0 mL",
        "the plan's line, by a press",
    ):
        assert said in record, said


def test_the_strip_names_the_person_with_two_identifiers_on_every_place(monkeypatch: pytest.MonkeyPatch) -> None:
    on = crew()
    ana, made = labelled(on, monkeypatch)
    for place in ("order", "in-hand", "draw", "second", "label", "give", "close", "record", "break-off"):
        told = page(ana.get(f"/sheet/{made.pk}/{place}/"))
        assert "Model, Dora born 05 Nov 1961 no. 204118 albuterol 2.5 mg nebulized, made up to 3 mL" in told, place
        html = ana.get(f"/sheet/{made.pk}/{place}/").content.decode().partition("<template")[0]
        filled = re.findall(r'class="go"[^>]*>', html)
        assert len([one for one in filled if " hidden" not in one]) <= 1, place


def test_a_sheet_leads_to_where_its_work_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    on = crew()
    ana, made, *_ = taken(on)
    assert ana.get(f"/sheet/{made.pk}/")["Location"] == f"/sheet/{made.pk}/draw/"
    assert browser(on.ben).get(f"/sheet/{made.pk}/")["Location"] == f"/sheet/{made.pk}/record/"


# ---- who may -----------------------------------------------------------------------------------------------


def test_each_place_is_for_its_own_rights_and_a_sheet_for_the_one_who_began_it(monkeypatch: pytest.MonkeyPatch) -> None:
    from drawndose.department.people.roles import Role
    from tests.department.people.staff import person

    on = crew()
    _, made, *_ = taken(on)
    may = {
        "in-hand": "ana",
        "draw": "ana",
        "label": "ana cleo",
        "give": "ana cleo",
        "close": "ana cleo",
        "record": "ana ben cleo",
    }
    for place, names in may.items():
        for who in (on.ana, on.ben, on.cleo):
            status = browser(who).get(f"/sheet/{made.pk}/{place}/").status_code
            assert status == (200 if who.username in names else 403), (place, who.username)
    assert client().get(f"/sheet/{made.pk}/draw/")["Location"].startswith("/sign-in/")
    assert browser(on.ana).get("/sheet/999/draw/").status_code == 404
    dan = browser(person("dan", "Dan Other", Role.PREPARER))
    answer = dan.post(
        f"/sheet/{made.pk}/draw/", {"do": "draw", "version": made.version, "key": "x", "reading-1": "0.5"}
    )
    assert answer.status_code == 422
    assert "Ana Sample prepares this one" in page(answer)
    made.refresh_from_db()
    assert made.state == "planned"


# ---- in hand: what is scanned ------------------------------------------------------------------------------


def scan(ana: Any, made: Any, text: str, query: str = "t=1") -> Any:
    place = f"/sheet/{made.pk}/in-hand/"
    return ana.post(place, form(ana.get(f"{place}?{query}"), "scan-form") | {"scan": text})


def test_an_unknown_product_number_is_asked_once_and_remembered() -> None:
    from drawndose.department.work.known_codes import known

    on = crew()
    ana, made = begun(on)
    bottle = received(on, BOTTLE, "20 mL", expiry=date(2060, 6, 30))
    code = f"(01){GTIN}(17)600630(10)4K21"
    asked = scan(ana, made, code)
    assert asked.status_code == 422
    assert f"Product number {GTIN} is not known here" in page(asked)
    fields = form(asked, "product-form") | {"product": f"{BOTTLE}|20 mL"}
    answer = ana.post(f"/sheet/{made.pk}/in-hand/", fields)
    assert f"s={bottle.pk}" in answer["Location"]
    assert known(GTIN).by == on.ana
    assert scan(ana, made, code).status_code == 302


@pytest.mark.parametrize(
    ("code", "says"),
    [
        ("", "nothing came"),
        ("NO-SUCH-LOT", "it is no lot on the shelf, no person's number, and no code that can be read"),
        ("204118", "this is the number of Model, Dora"),
        (f"(01){GTIN}(17)600630(10)ELSE", "albuterol 0.5 % solution, dropper bottle, lot ELSE, is not on the shelf"),
        (f"(01){GTIN}(17)200630(10)4K21", "albuterol 0.5 % solution, dropper bottle expired 30 Jun 2020 by its code"),
        (
            f"(01){GTIN}(17)590630(10)4K21",
            "The code says that lot 4K21 expires 30 Jun 2059; the shelf says 30 Jun 2060",
        ),
        ("P77.2222", "the last four signs do not belong to this number"),
    ],
)
def test_a_scan_that_brings_nothing_says_what_it_was(code: str, says: str) -> None:
    from drawndose.department.work.known_codes import remember

    on = crew()
    ana, made = begun(on)
    remember(GTIN, BOTTLE, "20 mL", by=on.ana)
    received(on, BOTTLE, "20 mL", expiry=date(2060, 6, 30))
    answer = scan(ana, made, code)
    assert answer.status_code == 422
    assert says in page(answer)
    made.refresh_from_db()
    assert (made.state, made.chosen) == ("begun", {})


def test_our_own_code_is_one_container_and_no_other_of_its_lot() -> None:
    from drawndose.department.pages.own_codes import code_of

    on = crew()
    ana, made = begun(on)
    received(on, BOTTLE, "20 mL")
    second = received(on, BOTTLE, "20 mL")
    assert scan(ana, made, code_of(second).lower())["Location"].endswith(f"s={second.pk}")


def test_a_code_without_its_lot_asks_where_there_are_two() -> None:
    from drawndose.department.work.known_codes import remember

    on = crew()
    ana, made = begun(on)
    remember(GTIN, BOTTLE, "20 mL", by=on.ana)
    received(on, BOTTLE, "20 mL")
    assert scan(ana, made, f"(01){GTIN}").status_code == 302
    received(on, BOTTLE, "20 mL", lot="9B7")
    assert "there are 2 on the shelf: 4K21, 9B7. Type the lot" in page(scan(ana, made, f"(01){GTIN}"))


def test_someone_elses_bottle_stops_and_is_put_back() -> None:
    from drawndose.department.work import shelf
    from drawndose.department.work.models import Patient
    from drawndose.department.work.policy import choose

    on = crew()
    choose("bottle_life", "28 d", reason="pharmacy committee", by=on.cleo)
    other = Patient.objects.create(name="Other, Otto", born=date(1950, 1, 1), number="204181")
    bottle = received(on, BOTTLE, "20 mL")
    shelf.open_it(bottle, by=on.ana, version=bottle.version, owner=other)
    ana, made = begun(on)
    saline = received(on, SALINE, "3 mL")
    assert "lot 4K21 5 mg per mL of albuterol" not in page(ana.get(f"/sheet/{made.pk}/in-hand/"))
    here = ana.get(f"/sheet/{made.pk}/in-hand/?t=1&s={bottle.pk}&c={saline.pk}&cup=cup-6")
    told = page(here)
    assert told.count("belongs to 204181; this dose is for 204118") == 1
    assert "Put it back" in told
    assert "Use these" not in told
    forced = ana.post(f"/sheet/{made.pk}/in-hand/", form(here, "use-form"))
    assert forced.status_code == 422
    made.refresh_from_db()
    assert made.state == "begun"


def test_a_bottle_that_expired_an_hour_ago_stops_before_and_after_it_was_taken() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work.models import Container
    from drawndose.department.work.places import local

    on = crew()
    yesterday = local(on.site, now()).date() - timedelta(days=1)
    ana, made, bottle, _ = taken(on)
    Container.objects.filter(pk=bottle.pk).update(expiry=yesterday)
    told = page(ana.get(f"/sheet/{made.pk}/draw/"))
    assert "Stop" in told
    assert "On the line" not in told
    assert "Choose other containers" in told
    assert "Draw up" not in told
    answer = ana.post(f"/sheet/{made.pk}/draw/", {"do": "draw", "key": "k", "version": made.version})
    assert answer.status_code == 422
    here = page(ana.get(f"/sheet/{made.pk}/in-hand/?t=1&c={bottle.pk}"))
    assert "Stop" in here
    bottle.refresh_from_db()
    assert bottle.left_nl == 20_000_000


def test_what_is_still_missing_is_said_and_is_no_stop() -> None:
    on = crew()
    ana, made = begun(on)
    bottle = received(on, BOTTLE, "20 mL")
    told = page(ana.get(f"/sheet/{made.pk}/in-hand/?t=1&c={bottle.pk}&cup=cup-6"))
    assert "Still to take. Sodium chloride 0.9 % is needed and is not on the bench" in told
    assert "Stop" not in told


def test_a_question_is_answered_by_a_link_and_kept_with_the_plan() -> None:
    on = crew()
    ana, made = begun(on, "racepinephrine 0.5 mL of 2.25 % by nebulizer once")
    drug = received(on, "racepinephrine-11.25mg-0.5ml", "0.5 mL")
    saline = received(on, SALINE, "3 mL", lot="S77")
    here = ana.get(f"/sheet/{made.pk}/in-hand/?t=1&c={drug.pk}&c={saline.pk}&cup=cup-6")
    link = re.search(r'href="\?(t=1[^"]*fill=made\+up\+to\+3\+mL[^"]*)"', here.content.decode())
    assert link is not None
    answered = ana.get(f"/sheet/{made.pk}/in-hand/?{link[1].replace('&amp;', '&')}")
    assert ana.post(f"/sheet/{made.pk}/in-hand/", form(answered, "use-form")).status_code == 302
    made.refresh_from_db()
    assert made.chosen["answers"] == {"fill": "made up to 3 mL"}


def test_an_instrument_that_is_not_at_hand_is_left_out() -> None:
    on = crew()
    ana, made = begun(on)
    bottle, saline = received(on, BOTTLE, "20 mL"), received(on, SALINE, "3 mL", lot="S77")
    query = f"t=1&c={bottle.pk}&c={saline.pk}&cup=cup-6"
    assert "2.5 mL syringe, oral tip measures 2.5 mL" in page(ana.get(f"/sheet/{made.pk}/in-hand/?{query}"))
    told = page(ana.get(f"/sheet/{made.pk}/in-hand/?{query}&not=syringe-2.5-oral"))
    assert "2.5 mL syringe, oral tip measures" not in told
    assert "measures 2.5 mL of sodium chloride 0.9 %" in told


def test_this_persons_own_bottle_stands_first_on_the_shelf_list() -> None:
    from drawndose.department.work import shelf
    from drawndose.department.work.policy import choose

    on = crew()
    choose("bottle_life", "28 d", reason="pharmacy committee", by=on.cleo)
    received(on, BOTTLE, "20 mL", lot="AAA")
    mine = received(on, BOTTLE, "20 mL", lot="ZZZ")
    shelf.open_it(mine, by=on.ana, version=mine.version, owner=on.patient)
    ana, made = begun(on)
    told = page(ana.get(f"/sheet/{made.pk}/in-hand/"))
    assert told.index("lot ZZZ") < told.index("lot AAA")
    assert "this person's own" in told


# ---- draw --------------------------------------------------------------------------------------------------


def test_no_box_of_a_reading_is_filled_in_for_anyone(monkeypatch: pytest.MonkeyPatch) -> None:
    on = crew()
    ana, made, *_ = taken(on)
    fields = form(ana.get(f"/sheet/{made.pk}/draw/"), "reading-form")
    assert (fields["reading-1"], fields["weight"]) == ("", "")


def test_nothing_is_drawn_before_the_label_is_checked() -> None:
    on = crew()
    ana, made, _, _ = taken(on)
    told = page(ana.get(f"/sheet/{made.pk}/draw/"))
    assert "Second label check" in told
    assert "On the line" not in told
    answer = press(ana, f"/sheet/{made.pk}/draw/", "reading-form", do="draw")
    assert answer.status_code == 422
    assert "label check: Second label check" in page(answer)
    made.refresh_from_db()
    assert made.state == "planned"


@pytest.mark.parametrize(
    ("scanned", "says"),
    [
        ("9B7", "it is not one of the containers of this sheet"),
        ("204118", "this is a person's number; here the container in your hand is checked"),
        ("nonsense", "it is no lot on the shelf"),
        ("4K21", "the same scan came twice; it counts once"),
    ],
)
def test_a_wrong_scan_at_a_label_check_is_named_and_checks_nothing(scanned: str, says: str) -> None:
    on = crew()
    ana, made, *_ = taken(on)
    received(on, BOTTLE, "20 mL", lot="9B7")
    before = events("steps")
    answer = checked(ana, made, scanned)
    assert answer.status_code == 422
    assert says in page(answer)
    assert events("steps") == before


def test_a_tenfold_reading_stops_and_what_was_typed_stays(monkeypatch: pytest.MonkeyPatch) -> None:
    quiet(monkeypatch)
    on = crew()
    ana, made, bottle, _ = taken(on)
    checked(ana, made)
    answer = press(ana, f"/sheet/{made.pk}/draw/", "reading-form", do="draw", **{"reading-1": "5"})
    assert answer.status_code == 422
    told = page(answer)
    assert told.count("You read 5 mL; the plan is 0.5 mL. That is 10 times the plan.") == 1
    assert form(answer, "reading-form")["reading-1"] == "5"
    bottle.refresh_from_db()
    assert bottle.left_nl == 20_000_000


@pytest.mark.parametrize("typed", ["0.5", ".5", "0.50", "0.5 mL", "500 mcL", "half"])
def test_a_typed_reading_is_read_with_and_without_its_unit(typed: str, monkeypatch: pytest.MonkeyPatch) -> None:
    quiet(monkeypatch)
    on = crew()
    ana, made, *_ = taken(on)
    checked(ana, made)
    answer = press(ana, f"/sheet/{made.pk}/draw/", "reading-form", do="draw", weight="0.503", **{"reading-1": typed})
    made.refresh_from_db()
    if typed == "half":
        assert (answer.status_code, made.state) == (422, "planned")
    else:
        assert (made.readings, made.observed["weight"]) == (["1/2"], "0.503 g"), page(answer)


def test_a_caution_is_answered_once_and_holds_the_filled_button() -> None:
    on = crew()
    ana, made = begun(on, "epinephrine 5 mg by nebulizer once")
    ampoules = [received(on, "epinephrine-1mg-1ml-ampoule", "1 mL") for _ in range(5)]
    here = ana.get(f"/sheet/{made.pk}/in-hand/?t=1&cup=cup-6&" + "&".join(f"s={one.pk}" for one in ampoules))
    ana.post(f"/sheet/{made.pk}/in-hand/", form(here, "use-form"))
    for left in (2, 1):
        told = ana.get(f"/sheet/{made.pk}/draw/")
        assert f"{left} caution{'s' if left > 1 else ''} to answer" in page(told)
        assert "On the line" not in page(told)
        fields = form(told, do="answer")
        assert ana.post(f"/sheet/{made.pk}/draw/", fields | {"said": ""}).status_code == 422
        assert ana.post(f"/sheet/{made.pk}/draw/", fields | {"said": "pharmacy was asked"}).status_code == 302
    told = page(ana.get(f"/sheet/{made.pk}/draw/"))
    assert "2 cautions answered" in told
    assert "to answer" not in told
    assert events("steps").count("caution.answered") == 2


def test_steps_are_ticked_one_at_a_time_and_taken_back_by_a_new_event() -> None:
    on = crew()
    ana, made, *_ = taken(on)
    before = len(events("steps"))
    here = ana.get(f"/sheet/{made.pk}/draw/")
    assert "Step 1 of 19" in page(here)
    assert ana.post(f"/sheet/{made.pk}/draw/", form(here, do="tick") | {"do": "tick"}).status_code == 302
    assert "Step 2 of 19" in page(ana.get(f"/sheet/{made.pk}/draw/"))
    back = ana.get(f"/sheet/{made.pk}/draw/?step=1")
    ana.post(f"/sheet/{made.pk}/draw/", form(back, do="untick") | {"do": "untick"})
    assert "Step 1 of 19" in page(ana.get(f"/sheet/{made.pk}/draw/"))
    assert events("steps")[before:] == ["step.done", "step.taken_back"]


def test_two_tabs_do_the_same_step_and_one_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    quiet(monkeypatch)
    on = crew()
    ana, made, bottle, _ = taken(on)
    checked(ana, made)
    first, second = (form(ana.get(f"/sheet/{made.pk}/draw/"), "reading-form") | {"do": "draw"} for _ in range(2))
    assert ana.post(f"/sheet/{made.pk}/draw/", first).status_code == 302
    answer = ana.post(f"/sheet/{made.pk}/draw/", second)
    assert answer.status_code == 409
    assert "someone else changed it since you opened it" in page(answer)
    bottle.refresh_from_db()
    assert bottle.left_nl == 19_500_000


def test_a_form_sent_twice_is_done_once_and_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    quiet(monkeypatch)
    on = crew()
    ana, made, bottle, _ = taken(on)
    checked(ana, made)
    fields = form(ana.get(f"/sheet/{made.pk}/draw/"), "reading-form") | {"do": "draw"}
    ana.post(f"/sheet/{made.pk}/draw/", fields)
    again = ana.post(f"/sheet/{made.pk}/draw/", fields)
    assert again.status_code == 302
    assert "This form was carried out already at" in page(ana.get(again["Location"].partition("#")[0]))
    bottle.refresh_from_db()
    assert bottle.left_nl == 19_500_000
    assert events("preparation").count("preparation.drawn") == 1


def test_an_order_that_was_changed_meanwhile_holds_the_sheet_back(monkeypatch: pytest.MonkeyPatch) -> None:
    from drawndose.department.work import orders

    quiet(monkeypatch)
    on = crew()
    ana, made, *_ = taken(on)
    checked(ana, made)
    fields = form(ana.get(f"/sheet/{made.pk}/draw/"), "reading-form") | {"do": "draw"}
    orders.hold(made.order, by=on.ana, version=made.order.version, reason="off the ward")
    assert "The order of this sheet is on hold" in page(ana.get(f"/sheet/{made.pk}/draw/"))
    assert ana.post(f"/sheet/{made.pk}/draw/", fields).status_code == 422
    made.refresh_from_db()
    assert made.state == "planned"


# ---- the second reading ------------------------------------------------------------------------------------


def to_be_read(on: Any, monkeypatch: pytest.MonkeyPatch) -> tuple[Any, Any]:
    from drawndose.department.work.policy import choose

    choose("second_reading", "concentrate", reason="asked by the manager", by=on.cleo)
    return drawn(on, monkeypatch)


def test_the_second_reader_never_sees_the_first_answer_and_both_are_compared(monkeypatch: pytest.MonkeyPatch) -> None:
    on = crew()
    ana, made = to_be_read(on, monkeypatch)
    assert "nobody has" in page(press(ana, f"/sheet/{made.pk}/label/", "label-form", do="label"))
    ben = browser(on.ben)
    assert ben.get(f"/sheet/{made.pk}/")["Location"] == f"/sheet/{made.pk}/second/"
    told = page(ben.get(f"/sheet/{made.pk}/second/"))
    assert "albuterol 2.5 mg by nebulizer, made up to 3 mL" in told
    assert "0.5 mL" not in told.replace("marks at 0.25 and 0.5 mL", "")  # the dropper's own name
    assert "Second person" not in told
    empty = press(ben, f"/sheet/{made.pk}/second/", "second-form", do="read")
    assert empty.status_code == 422
    wrong = press(ben, f"/sheet/{made.pk}/second/", "second-form", do="read", **{"second-1": "0.4"})
    assert "The first reader read 0.5 mL, the second 0.4 mL" in page(wrong)
    assert "the readings differ" in page(ben.get(f"/sheet/{made.pk}/second/"))
    made.refresh_from_db()
    assert made.read_by is None
    right = press(ben, f"/sheet/{made.pk}/second/", "second-form", do="read", **{"second-1": "0.5"})
    assert right.status_code == 302
    made.refresh_from_db()
    assert made.read_by == on.ben
    assert "Both agree" in page(ben.get(f"/sheet/{made.pk}/second/"))


def test_a_second_person_signs_on_the_first_ones_device_and_never_the_first(monkeypatch: pytest.MonkeyPatch) -> None:
    from tests.department.people.staff import PIN

    on = crew()
    ana, made = to_be_read(on, monkeypatch)
    assert "another person must read" in page(ana.get(f"/sheet/{made.pk}/second/"))
    own = press(
        ana,
        f"/sheet/{made.pk}/second/",
        "second-form",
        **{"second-1": "0.5", "second_name": "ana", "second_secret": PIN},
    )
    assert own.status_code == 422
    assert "the second person is another person" in page(own)
    assert PIN not in own.content.decode()
    done = press(
        ana,
        f"/sheet/{made.pk}/second/",
        "second-form",
        **{"second-1": "0.5", "second_name": "ben", "second_secret": PIN},
    )
    assert done["Location"] == f"/sheet/{made.pk}/label/", page(done)
    made.refresh_from_db()
    assert made.read_by == on.ben


def test_a_check_out_of_another_tab_is_not_taken_for_the_one_that_is_open(monkeypatch: pytest.MonkeyPatch) -> None:
    quiet(monkeypatch)
    on = crew()
    ana, made, *_ = taken(on)
    old = form(ana.get(f"/sheet/{made.pk}/draw/"), do="check")
    checked(ana, made)
    press(ana, f"/sheet/{made.pk}/draw/", "reading-form", do="draw")
    answer = ana.post(f"/sheet/{made.pk}/draw/", old | {"scan": "4K21", "key": "another"})
    assert answer.status_code == 422
    assert "the check of this page is done, in another tab or by another person" in page(answer)
    assert "Accepted: a scan for: Third label check" in page(answer)
    assert checked(ana, made).status_code == 302


# ---- label -------------------------------------------------------------------------------------------------


def test_the_label_waits_for_its_checks_and_comes_as_pdf_and_picture(monkeypatch: pytest.MonkeyPatch) -> None:
    quiet(monkeypatch)
    on = crew()
    ana, made, *_ = taken(on)
    assert "Label waits for a reading" in page(ana.get(f"/sheet/{made.pk}/label/"))
    assert ana.get(f"/sheet/{made.pk}/label.pdf").status_code == 404
    checked(ana, made)
    press(ana, f"/sheet/{made.pk}/draw/", "reading-form", do="draw")
    early = press(ana, f"/sheet/{made.pk}/label/", "label-form", do="label")
    assert early.status_code == 422
    assert "Third label check" in page(early)
    assert 'id="label-picture"' not in ana.get(f"/sheet/{made.pk}/label/").content.decode()
    checked(ana, made)
    before, preview = page(ana.get(f"/sheet/{made.pk}/label/")), ana.get(f"/sheet/{made.pk}/label.png")
    assert "For inhalation only, not for injection" in before
    assert ana.get(f"/sheet/{made.pk}/label.pdf").status_code == 404
    press(ana, f"/sheet/{made.pk}/label/", "label-form", do="label")
    pdf, png = ana.get(f"/sheet/{made.pk}/label.pdf"), ana.get(f"/sheet/{made.pk}/label.png")
    assert (pdf["Content-Type"], pdf.content[:5]) == ("application/pdf", b"%PDF-")
    assert (png["Content-Type"], png.content[1:4]) == ("image/png", b"PNG")
    assert preview.content == png.content
    from drawndose.department.pages.own_codes import code_of

    assert code_of(made) in page(ana.get(f"/sheet/{made.pk}/label/"))


# ---- give --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("number", "born", "says"),
    [
        ("204181", "05 Nov 1961", "No. 204181 is no number of this person."),
        ("204118", "06 Nov 1961", "Born 06 Nov 1961 is not this person's birth date."),
        ("204118", "11/05/1961", "Birth date 11/05/1961 cannot be read; type it as 05 Nov 1961."),
        ("", "", "0 of the person's identifiers matched"),
        ("204118", "", "1 of the person's identifiers matched"),
    ],
)
def test_a_person_with_one_digit_wrong_gets_nothing(
    number: str, born: str, says: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    on = crew()
    _, made = labelled(on, monkeypatch)
    cleo = browser(on.cleo)
    answer = press(cleo, f"/sheet/{made.pk}/give/", "give-form", do="given", number=number, born=born)
    assert answer.status_code == 422
    assert says in page(answer)
    assert form(answer, "give-form")["number"] == number
    made.refresh_from_db()
    assert (made.state, made.given_at) == ("labelled", None)


def test_another_patients_number_is_named_and_a_scan_never_gives(monkeypatch: pytest.MonkeyPatch) -> None:
    from drawndose.department.pages.own_codes import code_of
    from drawndose.department.work.models import Patient

    on = crew()
    _, made = labelled(on, monkeypatch)
    Patient.objects.create(name="Other, Otto", born=date(1950, 1, 1), number="204181")
    cleo = browser(on.cleo)
    told = page(press(cleo, f"/sheet/{made.pk}/give/", "give-form", number="204181"))
    assert "No. 204181 is the number of Other, Otto." in told
    assert "Given now" not in told
    label = press(cleo, f"/sheet/{made.pk}/give/", "give-form", number=code_of(made))
    assert f"The label {code_of(made)} is this sheet's." in page(label)
    both = cleo.post(
        f"/sheet/{made.pk}/give/", form(label, "give-form") | {"number": "204118;1961-11-05", "do": "match"}
    )
    assert both.status_code == 200
    assert "Given now" in page(both)
    assert "No. 204118 is this person's. Born 05 Nov 1961 is this person's." in page(both)
    made.refresh_from_db()
    assert made.state == "labelled"


def test_the_label_of_another_sheet_is_told_with_its_person(monkeypatch: pytest.MonkeyPatch) -> None:
    from drawndose.department.pages.own_codes import code_of
    from drawndose.department.work import preparing

    on = crew()
    _, made = labelled(on, monkeypatch)
    other = preparing.begin(made.order, by=on.ana)
    told = page(press(browser(on.cleo), f"/sheet/{made.pk}/give/", "give-form", number=code_of(other)))
    assert "this label is for Model, Dora, no. 204118" in told


def test_what_is_seen_before_and_after_prompts_and_is_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    on = crew()
    _, made = labelled(on, monkeypatch)
    cleo = browser(on.cleo)
    who = {"number": "204118", "born": "19611105", "do": "given"}
    wrong = press(cleo, f"/sheet/{made.pk}/give/", "give-form", **who, **{"before pulse": "8o"})
    assert "pulse before: a whole number" in page(wrong)
    press(
        cleo, f"/sheet/{made.pk}/give/", "give-form", **who, **{"before pulse": "88", "before breath sounds": "wheeze"}
    )
    made.refresh_from_db()
    assert made.observed["before"] == {"pulse": "88", "breath sounds": "wheeze"}
    seen = {"after pulse": "114", "do": "close"}
    prompted = press(cleo, f"/sheet/{made.pk}/close/", "close-form", **seen)
    assert prompted.status_code == 422
    assert page(prompted).count("Pulse 88 before, 114 after: it rose by 26 per min; the setting is 20.") == 1
    made.refresh_from_db()
    assert made.state == "given"
    assert cleo.post(f"/sheet/{made.pk}/close/", form(prompted, "close-form") | seen).status_code == 302
    made.refresh_from_db()
    assert (made.state, made.observed["after"]) == ("closed", {"pulse": "114"})


def test_given_is_taken_back_within_seconds_by_a_new_event(monkeypatch: pytest.MonkeyPatch) -> None:
    on = crew()
    _, made = labelled(on, monkeypatch)
    cleo = browser(on.cleo)
    press(cleo, f"/sheet/{made.pk}/give/", "give-form", do="given", number="204118", born="19611105")
    here = cleo.get(f"/sheet/{made.pk}/close/")
    assert "Take it back (" in page(here)
    answer = cleo.post(f"/sheet/{made.pk}/close/", form(here, do="undo") | {"do": "undo"})
    assert answer["Location"] == f"/sheet/{made.pk}/give/"
    made.refresh_from_db()
    assert (made.state, made.given_at) == ("labelled", None)
    assert events("preparation")[-2:] == ["preparation.given", "preparation.taken_back"]


def test_not_given_needs_its_reason_and_who_was_told(monkeypatch: pytest.MonkeyPatch) -> None:
    on = crew()
    _, made = labelled(on, monkeypatch)
    cleo = browser(on.cleo)
    address = f"/sheet/{made.pk}/give/"
    faults = page(press(cleo, address, "not-given-form", do="not-given"))
    assert "reason: this is needed" in faults
    assert "told: this is needed" in faults
    done = press(cleo, address, "not-given-form", do="not-given", reason="refused", told="Dr. Invented")
    assert done["Location"] == f"/sheet/{made.pk}/close/"
    assert "Close: 3 mL discarded" in page(cleo.get(f"/sheet/{made.pk}/close/"))
    press(cleo, f"/sheet/{made.pk}/close/", "close-form", do="close")
    made.refresh_from_db()
    assert (made.state, made.wasted_nl, made.dose.state) == ("closed", 3_000_000, "not given")
    assert made.observed["stream"].startswith("drug waste")


def test_past_its_limit_there_is_a_stop_and_no_filled_giving(clock, monkeypatch: pytest.MonkeyPatch) -> None:
    on = crew()
    _, made = labelled(on, monkeypatch)
    clock.passes(minutes=61)
    cleo = browser(on.cleo)
    told = page(press(cleo, f"/sheet/{made.pk}/give/", "give-form", number="204118", born="19611105"))
    assert "giving was to start by" in told
    assert "Given now" not in told
    answer = press(cleo, f"/sheet/{made.pk}/give/", "give-form", do="given", number="204118", born="19611105")
    assert answer.status_code == 422
    made.refresh_from_db()
    assert made.state == "labelled"


# ---- close, break off, record ------------------------------------------------------------------------------


def given(on: Any, monkeypatch: pytest.MonkeyPatch) -> tuple[Any, Any]:
    _, made = labelled(on, monkeypatch)
    cleo = browser(on.cleo)
    press(cleo, f"/sheet/{made.pk}/give/", "give-form", do="given", number="204118", born="19611105")
    made.refresh_from_db()
    assert made.state == "given"
    return cleo, made


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"stopped why": "tremor"}, "how much was given, wasted and left"),
        ({"given": "2.5"}, "2.5 mL given, 0 mL wasted and 0 mL left make 2.5 mL"),
        ({"given": "2.5 mg"}, "given: a volume is wanted"),
        ({"ended": "25:10"}, "ended: a time is a day and a time of 24 h"),
        ({"after pulse": "many"}, "pulse after: a whole number"),
    ],
)
def test_what_does_not_add_up_or_is_not_said_closes_nothing(
    typed: dict[str, str], says: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    on = crew()
    cleo, made = given(on, monkeypatch)
    answer = press(cleo, f"/sheet/{made.pk}/close/", "close-form", do="close", **typed)
    assert answer.status_code == 422
    assert says in page(answer)
    made.refresh_from_db()
    assert (made.state, made.given_nl) == ("given", None)


def test_a_difference_is_closed_with_its_reason(monkeypatch: pytest.MonkeyPatch) -> None:
    on = crew()
    cleo, made = given(on, monkeypatch)
    typed = {
        "stopped why": "tremor",
        "given": "2",
        "wasted": "0.5",
        "difference": "0.5 mL ran out of the cup",
    }
    assert press(cleo, f"/sheet/{made.pk}/close/", "close-form", do="close", **typed).status_code == 302
    made.refresh_from_db()
    assert (made.given_nl, made.wasted_nl, made.left_nl) == (2_000_000, 500_000, 0)
    record = page(cleo.get(f"/sheet/{made.pk}/record/"))
    for said in (
        "stopped: tremor",
        "difference: 0.5 mL ran out of the cup",
        "waste: drug waste container, never the drain",
    ):
        assert said in record


def test_waste_of_a_controlled_drug_wants_its_witness(monkeypatch: pytest.MonkeyPatch) -> None:
    from drawndose.department.work.policy import choose
    from tests.department.people.staff import PIN

    on = crew()
    choose("controlled", "albuterol", reason="for the test", by=on.cleo)
    cleo, made = given(on, monkeypatch)
    typed = {"given": "2", "wasted": "1"}
    alone = press(cleo, f"/sheet/{made.pk}/close/", "close-form", do="close", **typed)
    assert "1 mL of albuterol was wasted, and nobody else saw it" in page(alone)
    seen = press(
        cleo, f"/sheet/{made.pk}/close/", "close-form", do="close", **typed, second_name="ben", second_secret=PIN
    )
    assert seen.status_code == 302, page(seen)
    made.refresh_from_db()
    assert made.witness == on.ben


def test_breaking_off_with_nothing_drawn_closes_and_the_dose_is_due_again() -> None:
    on = crew()
    ana, made, *_ = taken(on)
    assert "reason" in page(press(ana, f"/sheet/{made.pk}/break-off/", "break-form"))
    answer = press(ana, f"/sheet/{made.pk}/break-off/", "break-form", reason="called away")
    assert answer["Location"] == f"/sheet/{made.pk}/record/"
    made.refresh_from_db()
    made.dose.refresh_from_db()
    assert (made.state, made.dose.state) == ("closed", "due")


def test_breaking_off_what_was_drawn_leads_to_its_waste(monkeypatch: pytest.MonkeyPatch) -> None:
    on = crew()
    ana, made = drawn(on, monkeypatch)
    answer = press(ana, f"/sheet/{made.pk}/break-off/", "break-form", reason="spilled")
    assert answer["Location"] == f"/sheet/{made.pk}/close/"
    assert "Close: 3 mL discarded" in page(ana.get(answer["Location"]))


def test_a_dose_that_was_given_is_not_called_late_now(monkeypatch: pytest.MonkeyPatch) -> None:
    on = crew()
    cleo, made = given(on, monkeypatch)
    past = timedelta(hours=9)
    dose = made.dose
    type(dose).objects.filter(pk=dose.pk).update(
        from_at=dose.from_at - past, due_at=dose.due_at - past, to_at=dose.to_at - past
    )
    text = page(cleo.get(f"/sheet/{made.pk}/record/"))
    assert "to be given" in text
    assert "late now" not in text


def test_a_closed_record_changes_only_by_a_note(monkeypatch: pytest.MonkeyPatch) -> None:
    on = crew()
    cleo, made = given(on, monkeypatch)
    press(cleo, f"/sheet/{made.pk}/close/", "close-form", do="close")
    made.refresh_from_db()
    before = events("preparation")
    for place, do in (("draw", "draw"), ("label", "label"), ("give", "given"), ("close", "close")):
        who = browser(on.ana)
        answer = who.post(
            f"/sheet/{made.pk}/{place}/", {"do": do, "key": f"late-{place}", "version": made.version, "reason": "x"}
        )
        assert answer.status_code in {200, 422}, place
    assert events("preparation") == before
    address = f"/sheet/{made.pk}/record/"
    ben = browser(on.ben)
    fields = form_with(ben.get(address), "note")
    assert ben.post(address, fields | {"note": " "}).status_code == 422
    assert ben.post(address, fields | {"note": "Family was told."}).status_code == 302
    assert "Family was told. Ben Example" in page(ben.get(address))
    assert events("preparation") == [*before, "preparation.noted"]


def form_with(answer: Any, name: str) -> dict[str, Any]:
    """The hidden fields of the form that holds a field of this name."""
    html = answer.content.decode()
    text = next(one for one in re.findall(r"<form\b.*?</form>", html, flags=re.DOTALL) if f'name="{name}"' in one)
    return {
        found[1]: found[2]
        for found in re.finditer(r'<input type="hidden" name="([^"]*)" value="([^"]*)"', text)
        if found[1] != "csrfmiddlewaretoken"
    }


def test_every_event_of_a_sheet_is_told_in_words() -> None:
    from drawndose.department.pages.sheet.record import SAID
    from drawndose.department.work.states import PREPARATION

    names = {name for events_ in PREPARATION.values() for name in events_}
    assert names <= set(SAID)


# ---- start, drafts -----------------------------------------------------------------------------------------


def test_a_sheet_is_begun_from_a_person_or_an_order_without_a_dose() -> None:
    from drawndose.department.work.models import Preparation

    on = crew()
    ana = browser(on.ana)
    entered = order(on, "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours as needed for wheeze")
    assert "as needed for wheeze" in page(ana.get("/sheet/new/"))
    assert "For Model, Dora, no. 204118" in page(ana.post("/sheet/new/", {"scan": "204118"}))
    assert ana.post("/sheet/new/", {"scan": "999999"}).status_code == 422
    assert ana.get("/sheet/new/?dose=999").status_code == 422
    start = ana.get(f"/sheet/new/?order={entered.pk}")
    fields = form(start, "begin-form")
    assert ana.post("/sheet/new/", fields).status_code == 302
    again = ana.post("/sheet/new/", fields)
    assert "again=" in again["Location"]
    assert Preparation.objects.count() == 1


def test_a_number_that_nobody_has_is_told_where_a_person_is_asked_for() -> None:
    on = crew()
    answer = browser(on.ana).post("/sheet/new/", {"scan": "999999"})
    assert answer.status_code == 422
    assert "nobody here has this number" in page(answer)
    assert "no product" not in page(answer)


def test_a_dose_that_someone_has_begun_is_not_begun_again() -> None:
    from drawndose.department.people.roles import Role
    from drawndose.department.work.models import Preparation
    from tests.department.people.staff import person

    on = crew()
    _, made = begun(on)
    dan = browser(person("dan", "Dan Other", Role.PREPARER))
    told = page(dan.get(f"/sheet/new/?dose={made.dose_id}"))
    assert "Ana Sample began this dose at" in told
    assert "Reading is right" not in told
    answer = dan.post("/sheet/new/", {"dose": made.dose_id, "key": "k"})
    assert (answer.status_code, "Ana Sample began this dose at" in page(answer)) == (422, True)
    assert Preparation.objects.count() == 1


def test_what_is_typed_is_kept_for_that_person_and_offered_again(monkeypatch: pytest.MonkeyPatch) -> None:
    from drawndose.department.work.drafts import kept

    on = crew()
    _, made = labelled(on, monkeypatch)
    cleo, name = browser(on.cleo), f"sheet-{made.pk}-give"
    sent = {"draft": name, "before pulse": "88", "born": "19611105", "second_secret": "hidden", "key": "k"}
    assert cleo.post("/draft/", sent).status_code == 204
    assert kept(on.cleo, name).content == {"before pulse": "88", "born": "19611105"}
    assert "You typed something here at" in page(cleo.get(f"/sheet/{made.pk}/give/"))
    assert form(cleo.get(f"/sheet/{made.pk}/give/"), "give-form")["before pulse"] == ""
    assert form(cleo.get(f"/sheet/{made.pk}/give/?kept=1"), "give-form")["before pulse"] == "88"
    let_go = form_with(cleo.get(f"/sheet/{made.pk}/give/"), "next")
    assert let_go["next"] == f"/sheet/{made.pk}/give/"
    assert "You typed something" not in page(browser(on.ana).get(f"/sheet/{made.pk}/give/"))
    press(cleo, f"/sheet/{made.pk}/give/", "give-form", do="given", number="204118", born="19611105")
    assert kept(on.cleo, name) is None


def test_a_page_with_scripts_is_told_where_to_go(monkeypatch: pytest.MonkeyPatch) -> None:
    quiet(monkeypatch)
    on = crew()
    ana, made, *_ = taken(on)
    fields = form(ana.get(f"/sheet/{made.pk}/draw/"), do="check") | {"scan": "4K21"}
    answer = ana.post(f"/sheet/{made.pk}/draw/", fields, headers={"hx-request": "true"})
    assert (answer.status_code, answer["HX-Redirect"]) == (200, f"/sheet/{made.pk}/draw/")
