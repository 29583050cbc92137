"""The policy page and the rules: every setting with source and effect, changed with a reason; who says what where issuers disagree."""

from __future__ import annotations

import re

import pytest

from tests.department.furnished import ward
from tests.pages import said, signed, words

pytestmark = pytest.mark.usefixtures("storage")


def plain(text: str) -> str:
    return re.sub(r"\s+", " ", text).strip()


def test_every_setting_stands_there_with_its_source_and_effect() -> None:
    from drawndose.department.work.known_settings import CHOICES

    made = ward()
    page = signed(made.on.ben).get("/policy/").content.decode()
    for one in CHOICES:
        card = page.partition(f'<li id="{one.name}"')[2].partition("</li>")[0]
        text = words(card)
        assert "Effect: " in text, one.name
        assert "From: " in text, one.name
    assert "0 of" in words(page)
    assert ">Change<" not in page
    assert page.count(">Change<") == 0
    assert signed(made.max).get("/policy/").content.decode().count(">Change<span") == len(CHOICES)


def test_a_setting_is_found_by_its_words() -> None:
    made = ward()
    text = said(signed(made.on.ben).get("/policy/?q=Window+ISMP"))
    assert "4 of " in text
    assert "settings speak of Window ISMP. Show all" in text
    assert "Window of time-critical doses" in text
    assert "Life of an opened injectable" not in text.partition("Where issuers disagree")[0]


def test_every_matter_on_which_issuers_disagree_names_both_sides_and_their_sources() -> None:
    from drawndose.reference import load

    made = ward()
    text = said(signed(made.on.ben).get("/policy/"))
    for one in load().conflicts.values():
        for side in one.sides:
            assert plain(side.who) in text
            assert plain(side.says) in text
    assert "How long may an opened dropper bottle be used? Here: nobody has chosen" in text


def test_a_setting_is_changed_with_a_reason_and_an_old_tab_changes_nothing() -> None:
    from drawndose.department.work.models import Setting

    made = ward()
    browser, address = signed(made.max), "/policy/start_within/"
    assert "1 h, 4 h" in said(browser.get(address))
    sent = {"value": "4 h", "seen": "", "key": "a"}
    refused = browser.post(address, sent)
    assert (refused.status_code, 'value="4 h"' in refused.content.decode()) == (422, True)
    far = browser.post(address, sent | {"value": "5 h", "reason": "x"})
    assert (far.status_code, "at most 4 h" in said(far)) == (422, True)
    done = browser.post(address, sent | {"reason": "chapter of 2023, decided 24 Nov 2026"})
    assert done["Location"] == "/policy/#start_within"
    assert browser.post(address, sent | {"reason": "chapter of 2023, decided 24 Nov 2026"}).status_code == 302
    old = browser.post(address, {"value": "2 h", "seen": "", "reason": "tighter", "key": "b"})
    assert (old.status_code, "it changed meanwhile" in said(old)) == (409, True)
    text = said(browser.get("/policy/"))
    assert "chosen here: chapter of 2023, decided 24 Nov 2026 . As shipped: 1 h" in text
    assert "Until when must giving have started: 1 h or 4 h? Here: 4 h" in text
    back = {"default": "yes", "value": "4 h", "seen": "4 h", "reason": "back to the shorter", "key": "c"}
    assert browser.post(address, back).status_code == 302
    assert not Setting.objects.exists()
    assert "Chosen by max chapter of 2023" in said(browser.get(address))


def test_only_a_manager_changes_it() -> None:
    from drawndose.department.ledger.models import Event

    made = ward()
    before = Event.objects.count()
    for who in (made.on.ana, made.on.ben, made.on.cleo):
        browser = signed(who)
        assert browser.get("/policy/start_within/").status_code == 403
        assert browser.post("/policy/start_within/", {"value": "4 h", "reason": "x", "seen": ""}).status_code == 403
    assert Event.objects.count() == before
    assert signed(made.max).get("/policy/nothing/").status_code == 404


def test_every_check_stands_there_with_level_question_source_and_counts() -> None:
    from drawndose.department.work.checks import rules

    made = ward()
    answer = signed(made.on.ben).get("/rules/")
    page, text = answer.content.decode(), said(answer)
    assert f"Rules: {len(rules())} checks" in text
    for ident, (rule, _) in rules().items():
        row = words(page.partition(f'id="{ident}"')[2].partition("</li>")[0])
        assert words(rule.asks) in row, ident
        assert rule.level.value.title() in row, ident
        assert re.search(r"Shown \d+ Set aside \d+", row), ident
        assert "From: " in row, ident
    assert "No firing yet in this period." in text
    assert "Nobody has silenced a caution." in text


def test_a_caution_silenced_on_a_sheet_is_folded_there_and_stands_in_its_record() -> None:
    from drawndose.department.work import cautions, preparing
    from tests.department.scene import order, received

    made = ward()
    ampoules = [received(made.on, "epinephrine-1mg-1ml-ampoule", "1 mL") for _ in range(5)]
    sheet = preparing.begin(order(made.on, "epinephrine 5 mg by nebulizer once"), by=made.on.ana)
    preparing.choose(sheet, ampoules, [], "cup-6", by=made.on.ana, version=sheet.version)
    browser, address = signed(made.on.ana), f"/sheet/{sheet.pk}/draw/"
    page = browser.get(address).content.decode()
    assert "2 cautions to answer" in words(page)
    links = [link.replace("&amp;", "&") for link in re.findall(r'href="(/rules/silence/\?[^"]+)"', page)]
    link = next(one for one in links if "rule=off-label" in one)
    sent = {
        "rule": "off-label",
        "presentation": "epinephrine-1mg-1ml-ampoule",
        "days": "9",
        "key": "a",
        "back": address,
    }
    assert "Silence a caution for you" in said(browser.get(link))
    assert browser.post("/rules/silence/", sent | {"reason": "written policy here"})["Location"] == address
    text = said(browser.get(address))
    assert "1 caution to answer" in text
    assert "1 caution that Ana Sample silenced" in text
    assert "written policy here" in text
    plan = preparing.plan_of(sheet)
    (open_one,) = [one for one in cautions.to_answer(plan, ()) if one.rule != "off-label"]
    cautions.answer(sheet, plan, cautions.mark_of(open_one), "counted aloud, and it stands", by=made.on.ana)
    assert "1 caution that Ana Sample silenced" in said(browser.get(address))
