"""Two people with two sheets, and one bottle that holds one dose: the first press draws it, the second is told and draws nothing."""

from __future__ import annotations

import re
import time

from playwright.sync_api import Browser, expect

from tests.browser.test_sheet import Ward, context_of, on, press, scan

__all__ = ["on"]

LAST = """
lot = "L" + number
bottle = received(on, BOTTLE, "20 mL", lot=lot + "B")
from drawndose.department.work import shelf
from drawndose.department.work.models import Container
from drawndose.department.work.policy import choose
from drawndose.department.people.models import RoleHeld
RoleHeld.objects.create(person=on.ben, role="preparer")
choose("bottle_life", "28 d", reason="pharmacy committee", by=on.cleo)
shelf.open_it(bottle, by=on.ana, version=bottle.version, owner=on.patient)
shelf.correct(bottle, "0.5 mL", by=on.ana, version=bottle.version, reason="looked at: the last of it")
made = []
for who in (on.ana, on.ben):
    bottle, saline = Container.objects.get(pk=bottle.pk), received(on, SALINE, "3 mL", lot=lot + "S")
    sheet = preparing.begin(order(on), by=who)
    preparing.choose(sheet, [bottle, saline], [], "cup-6", by=who, version=sheet.version)
    made.append(sheet.pk)
told = {"sheets": made, "bottle": bottle.pk, "code": code_of(bottle)}
"""


CAME_TO = re.compile("Third label check|is emptied meanwhile")


def test_two_people_cannot_draw_the_last_dose_twice(browser: Browser, on: Ward) -> None:
    made = on.do(LAST)
    both = [context_of(browser, on, who).pages[0] for who in ("ana", "ben")]
    for page, sheet in zip(both, made["sheets"], strict=True):
        page.goto(f"/sheet/{sheet}/draw/")
        expect(page.locator("#cautions")).to_contain_text("drops cling")
        page.locator("#cautions form button").first.click()
        expect(page.locator("#go")).to_have_text("Check the label: scan it")
        scan(page, made["code"])
        expect(page.locator("#check")).to_contain_text("Second label check")
        time.sleep(3.1)  # a scan that follows at once would be one that came twice
        scan(page, made["code"])
        expect(page.locator("#go")).to_have_text("On the line")
    for page in both:
        press(page)
    for page in both:  # who was first is chance: the storage says it below
        expect(page.locator("#check, #stops").filter(has_text=CAME_TO)).to_have_count(1)
    drew = [on.do(f"told = Preparation.objects.get(pk={sheet}).state") for sheet in made["sheets"]]
    assert sorted(drew) == ["drawn", "planned"]
    first, second = (both[drew.index(state)] for state in ("drawn", "planned"))
    expect(first.locator("#check")).to_contain_text("Third label check")
    expect(second.locator("#stops")).to_contain_text("is emptied meanwhile.")
    expect(second.locator("#go")).to_have_text("Choose other containers")
    left = f"from drawndose.department.work.models import Container\ntold = Container.objects.get(pk={made['bottle']}).left_nl"
    assert on.do(left) == 0
    for page in both:
        page.context.close()
