"""The sheet in a real browser: the main job by keyboard and scanner, a network that goes away, scans that must do no harm."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.conftest import SIZES
from tests.browser.serving import Served, served
from tests.browser.whole import findings
from tests.department.people.staff import PASSWORD, PIN

BEGIN = """
import sys
import django; django.setup()
from datetime import date
from tests.department.scene import *
from drawndose.department.people.models import Person
from drawndose.department.work import giving, preparing
from drawndose.department.work.models import Patient, Preparation, Site
from drawndose.department.pages.own_codes import code_of
"""
MAKE = """
from tests.department.crew import crew
crew()
"""
ON = """
from tests.department.scene import Scene
on = Scene(Site.objects.get(), *(Person.objects.get(username=name) for name in ("ana", "ben", "cleo")), None)
number = str(100000 + Patient.objects.count())
on.patient = Patient.objects.create(name="Person, " + number, born=date(1961, 11, 5), number=number, allergies_asked=True)
"""


@dataclass(frozen=True)
class Ward:
    """A server with an invented department, which can be asked to make something before a test."""

    served: Served

    @property
    def address(self) -> str:
        return self.served.address

    def do(self, code: str) -> Any:
        """Run a piece of the department's own code; what it calls `told` comes back."""
        return self.served.told(f"{BEGIN}\n{ON}\n{code}")


@pytest.fixture(scope="module")
def on(emptied: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Ward]:
    with served(emptied, tmp_path_factory.mktemp("ward"), BEGIN + MAKE, threads=4) as made:
        yield Ward(made)


def context_of(browser: Browser, on: Ward, who: str, size: str = "tablet", *, scripts: bool = True) -> BrowserContext:
    width, height = SIZES[size]
    context = browser.new_context(
        viewport={"width": width, "height": height}, java_script_enabled=scripts, base_url=on.address
    )
    page = context.new_page()
    page.goto("/sign-in/?next=/board/")
    page.fill("#username", who)
    page.fill("#password", PASSWORD)
    page.click("main .go")
    page.wait_for_url("**/board/")
    return context


def watched(page: Page) -> list[str]:
    """What goes wrong in a page: errors of scripts, and what the content policy forbids."""
    troubles: list[str] = []
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.on("console", lambda said: troubles.append(said.text) if "Content Security" in said.text else None)
    return troubles


@pytest.fixture
def ana(browser: Browser, on: Ward) -> Iterator[Page]:
    context = context_of(browser, on, "ana")
    troubles = watched(context.pages[0])
    yield context.pages[0]
    assert troubles == []
    context.close()


@pytest.fixture
def cleo(browser: Browser, on: Ward) -> Iterator[Page]:
    context = context_of(browser, on, "cleo")
    troubles = watched(context.pages[0])
    yield context.pages[0]
    assert troubles == []
    context.close()


SCANNER = """
code => {
  for (const key of [...code, "Enter"]) {
    const at = document.activeElement ?? document.body;
    const event = new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true });
    if (!at.dispatchEvent(event)) continue;
    if (key.length === 1 && "value" in at && at.tagName !== "BUTTON") at.setRangeText(key, at.selectionStart, at.selectionEnd, "end");
    if (key === "Enter" && at.tagName === "BUTTON") at.click();
    else if (key === "Enter" && at.form) at.form.requestSubmit();
  }
}
"""
"""What a scanner that types does, with what a browser does of each key; all at once, however busy this machine is."""


def scan(page: Page, code: str) -> None:
    page.wait_for_load_state()  # a scan before the page's script is there is nobody's
    page.evaluate(SCANNER, code)


def press(page: Page) -> None:
    """The one filled button, by keyboard."""
    page.locator("#go").focus()
    page.keyboard.press("Enter")


DUE = """
lot = "L" + number
bottle, saline = received(on, BOTTLE, "20 mL", lot=lot + "B"), received(on, SALINE, "3 mL", lot=lot + "S")
dose = order(on).duedose_set.order_by("due_at").first()
told = {"dose": dose.pk, "bottle": code_of(bottle), "saline": code_of(saline), "number": number, "lot": lot}
"""
LABELLED = """
made, bottle, saline = labelled(on)
told = {"sheet": made.pk, "number": number, "code": code_of(made)}
"""


def test_the_main_job_by_keyboard_and_scanner_takes_six_presses(ana: Page, on: Ward) -> None:
    made = on.do(DUE)
    presses = 0

    def pressed() -> None:
        nonlocal presses
        presses += 1
        press(ana)

    ana.goto(f"/sheet/new/?dose={made['dose']}")
    expect(ana.locator("#go")).to_have_text("Reading is right")
    pressed()
    ana.wait_for_url("**/in-hand/**")
    scan(ana, made["bottle"])
    ana.wait_for_url("**s=*")
    scan(ana, made["saline"])
    expect(ana.locator(".card")).to_have_count(2)
    expect(ana.locator("#go")).to_have_text("Use these")
    pressed()
    ana.wait_for_url("**/draw/")
    expect(ana.locator(".number")).to_contain_text("0.5 mL")
    expect(ana.locator("#check")).to_contain_text("Second label check")
    time.sleep(3.1)  # a scan that follows at once would be one that came twice
    scan(ana, made["bottle"])
    expect(ana.locator("#go")).to_have_text("On the line")
    pressed()
    expect(ana.locator("#check")).to_contain_text("Third label check")
    time.sleep(3.1)
    scan(ana, made["bottle"])
    ana.wait_for_url("**/label/")
    ana.evaluate("window.print = () => { document.documentElement.dataset.printed = 'yes' }")
    pressed()
    ana.wait_for_url("**/label/?print=1")
    expect(ana.locator("#label-picture")).to_have_attribute("data-print", "")
    assert ana.evaluate("document.querySelector('#label-picture img').naturalWidth") > 100
    code = ana.locator("#label").inner_text().split("code ")[1].strip()
    scan(ana, code)
    ana.wait_for_url("**/give/?label=yes")
    scan(ana, f"{made['number']};1961-11-05")
    expect(ana.locator("#go")).to_have_text("Given now")
    pressed()
    ana.wait_for_url("**/close/")
    expect(ana.locator("#go")).to_have_text("Close: tolerated, nothing left")
    pressed()
    ana.wait_for_url("**/record/")
    assert presses == 6
    expect(ana.locator("main")).to_contain_text("Closed. It changes only by a dated note beside it.")


def test_a_scan_is_heard_wherever_the_focus_is_and_leaves_no_trace_there(cleo: Page, on: Ward) -> None:
    made = on.do(LABELLED)
    cleo.goto(f"/sheet/{made['sheet']}/give/")
    cleo.fill("[name='before breath sounds']", "wheeze")
    cleo.locator("[name='before breath sounds']").focus()
    scan(cleo, f"{made['number']};1961-11-05")
    expect(cleo.locator("#go")).to_have_text("Given now")
    expect(cleo.locator("[name='before breath sounds']")).to_have_value("wheeze")
    expect(cleo.locator("#number")).to_have_value(made["number"])
    cleo.locator("#go").focus()
    scan(cleo, made["number"])
    cleo.wait_for_timeout(500)
    assert cleo.url.endswith("/give/")
    assert on.do(f"told = Preparation.objects.get(pk={made['sheet']}).state") == "labelled"


def test_what_a_hand_types_is_no_scan(cleo: Page, on: Ward) -> None:
    made = on.do(LABELLED)
    cleo.goto(f"/sheet/{made['sheet']}/give/")
    cleo.locator("[name='before breath sounds']").focus()
    cleo.keyboard.type("wheeze", delay=120)
    expect(cleo.locator("[name='before breath sounds']")).to_have_value("wheeze")
    expect(cleo.locator("#number")).to_have_value("")


def test_enter_in_a_box_matches_and_never_gives(cleo: Page, on: Ward) -> None:
    made = on.do(LABELLED)
    cleo.goto(f"/sheet/{made['sheet']}/give/")
    cleo.fill("#number", made["number"])
    cleo.fill("#born", "5 Nov 1961")
    cleo.locator("#born").press("Enter")
    expect(cleo.locator("#go")).to_have_text("Given now")
    cleo.locator("#born").press("Enter")
    cleo.wait_for_timeout(500)
    assert on.do(f"told = Preparation.objects.get(pk={made['sheet']}).state") == "labelled"


def test_when_the_network_goes_away_a_press_is_kept_and_done_once(cleo: Page, on: Ward) -> None:
    made = on.do(LABELLED)
    cleo.goto(f"/sheet/{made['sheet']}/give/")
    scan(cleo, f"{made['number']};1961-11-05")
    expect(cleo.locator("#go")).to_have_text("Given now")
    cleo.fill("[name='before pulse']", "88")
    cleo.context.set_offline(True)
    press(cleo)
    expect(cleo.locator("[data-says]")).to_contain_text("Not sent yet: no network at")
    expect(cleo.locator("[name='before pulse']")).to_have_value("88")
    press(cleo)
    cleo.wait_for_timeout(5000)
    assert on.do(f"told = Preparation.objects.get(pk={made['sheet']}).state") == "labelled"
    cleo.context.set_offline(False)
    cleo.wait_for_url("**/close/**", timeout=60_000)
    count = "from drawndose.department.ledger.models import Event\n"
    count += f"told = Event.objects.filter(name='preparation.given', subject='{made['sheet']}').count()"
    assert on.do(count) == 1
    expect(cleo.locator("main")).to_contain_text("Before: pulse 88 per min")


def test_what_was_typed_is_offered_after_the_tablet_slept(cleo: Page, on: Ward, browser: Browser) -> None:
    made = on.do(LABELLED)
    address = f"/sheet/{made['sheet']}/give/"
    cleo.goto(address)
    cleo.context.set_offline(True)
    cleo.fill("[name='before pulse']", "91")
    cleo.wait_for_timeout(300)
    cleo.context.set_offline(False)
    cleo.goto(address)
    expect(cleo.locator("[name='before pulse']")).to_have_value("")
    expect(cleo.locator(".kept")).to_contain_text("and did not send it")
    cleo.click("[data-back]")
    expect(cleo.locator("[name='before pulse']")).to_have_value("91")
    cleo.fill("[name='before pulse']", "92")
    with cleo.expect_response("**/draft/"):
        pass
    other = context_of(browser, on, "cleo", "phone", scripts=False)
    other.pages[0].goto(address)
    other.pages[0].click("text=Put it back")
    expect(other.pages[0].locator("[name='before pulse']")).to_have_value("92")
    other.pages[0].goto(address)
    other.pages[0].click("text=Let it go")
    expect(other.pages[0].locator(".kept")).to_be_hidden()
    other.close()


def test_refused_forms_stay_on_the_page_with_everything_typed(cleo: Page, on: Ward) -> None:
    made = on.do(LABELLED)
    cleo.goto(f"/sheet/{made['sheet']}/give/")
    cleo.fill("#number", made["number"])
    cleo.fill("#born", "6 Nov 1961")
    cleo.fill("[name='before pulse']", "88")
    press(cleo)
    expect(cleo.locator("#stops")).to_contain_text("Born 06 Nov 1961 is not this person's birth date.")
    expect(cleo.locator("#stops")).to_be_focused()
    expect(cleo.locator("[name='before pulse']")).to_have_value("88")
    expect(cleo.locator("#go")).not_to_have_text("Given now")


def test_two_tabs_and_one_is_told(ana: Page, on: Ward) -> None:
    made = on.do("made, bottle, saline = planned(on)\nfrom drawndose.department.work import checklist\n" + CHECKED)
    address = f"/sheet/{made['sheet']}/draw/"
    ana.goto(address)
    other = ana.context.new_page()
    other.goto(address)
    press(ana)
    expect(ana.locator("#check")).to_contain_text("Third label check")
    press(other)
    expect(other.locator("#refused")).to_contain_text("someone else changed it since you opened it")
    expect(other.locator("#refused")).to_be_focused()
    other.close()


CHECKED = """
checklist.TWICE = checklist.timedelta(0)
for one in checklist.checklist(made, preparing.plan_of(made)):
    if one.check and "hird" not in one.step.says:
        checklist.scanned(made, bottle, one.step.number, by=on.ana)
told = {"sheet": made.pk, "number": number}
"""


def test_a_wrong_and_an_expired_container_are_told_in_a_sentence(ana: Page, on: Ward) -> None:
    made = on.do(
        DUE
        + """
from drawndose.department.work.models import Container
old = received(on, BOTTLE, "20 mL", lot=lot + "X")
Container.objects.filter(pk=old.pk).update(expiry=date(2020, 1, 31))
sheet = preparing.begin(dose.order, by=on.ana, dose=dose)
told |= {"sheet": sheet.pk, "old": code_of(old)}
"""
    )
    ana.goto(f"/sheet/{made['sheet']}/in-hand/")
    scan(ana, "NO-SUCH-LOT-1")
    expect(ana.locator("#refused")).to_contain_text("it is no lot on the shelf")
    scan(ana, made["number"])
    expect(ana.locator("#refused")).to_contain_text("this is the number of Person,")
    scan(ana, made["old"])
    expect(ana.locator("#stops")).to_contain_text("31 Jan 2020")
    expect(ana.locator("#go")).to_have_text("Put it back")
    press(ana)
    expect(ana.locator(".card")).to_have_count(0)


def test_the_second_reader_signs_on_the_same_tablet_without_seeing_the_first_answer(ana: Page, on: Ward) -> None:
    made = on.do(
        """
order_ = order(on, "epinephrine 5 mg by nebulizer once")
made = preparing.begin(order_, by=on.ana)
ampoules = [received(on, "epinephrine-1mg-1ml-ampoule", "1 mL", lot="E" + number) for _ in range(5)]
preparing.choose(made, ampoules, [], "cup-6", by=on.ana, version=made.version)
preparing.drawn(made, ["5 mL"], by=on.ana, version=made.version)
told = {"sheet": made.pk}
"""
    )
    ana.goto(f"/sheet/{made['sheet']}/second/")
    assert "5 mL" not in ana.locator("main").inner_text().replace("10 mL syringe", "")
    ana.fill("#second-1", "4")
    ana.fill("#second_name", "ben")
    ana.fill("#second_secret", PIN)
    press(ana)
    expect(ana.locator("#stops")).to_contain_text("The first reader read 5 mL, the second 4 mL.")
    expect(ana.locator("#second_secret")).to_have_value("")
    ana.fill("#second-1", "5")
    ana.fill("#second_secret", PIN)
    press(ana)
    expect(ana.locator("#label")).to_contain_text("Ana Sample, second reader Ben Example")
    ana.goto(f"/sheet/{made['sheet']}/second/")
    expect(ana.locator("main")).to_contain_text("Both agree")


def test_an_unknown_code_is_asked_on_a_phone_and_remembered(browser: Browser, on: Ward) -> None:
    open_ = on.do(DUE + "told['sheet'] = preparing.begin(dose.order, by=on.ana, dose=dose).pk")
    context = context_of(browser, on, "ana", "phone")
    page = context.pages[0]
    page.goto(f"/sheet/{open_['sheet']}/in-hand/")
    page.fill("#scan", "(01)00312345678937(17)990630(10)ABCDEFGHIJKLMNOPQRST")
    page.press("#scan", "Enter")
    expect(page.locator("#product-form")).to_contain_text("What is it?")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), "a long code makes no sideways bar"
    page.select_option("#product", "albuterol-0.5pct-bottle-20ml|20 mL")
    page.click("#product-form button.quiet")
    expect(page.locator("#refused")).to_contain_text("ABCDEFGHIJKLMNOPQRST")
    expect(page.locator("#product-form")).to_have_count(0)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    context.close()


@pytest.mark.parametrize(("size", "light"), [("desk", "day"), ("phone", "night")])
def test_no_page_of_a_sheet_has_an_axe_finding_or_a_sideways_bar(
    browser: Browser, on: Ward, size: str, light: str
) -> None:
    made = on.do(LABELLED)
    open_ = on.do(DUE + "told['sheet'] = preparing.begin(dose.order, by=on.ana, dose=dose).pk")
    planned = on.do("told = planned(on)[0].pk")
    places = [
        f"/sheet/{made['sheet']}/{name}/"
        for name in ("order", "second", "label", "give", "close", "record", "break-off")
    ]
    places += [
        "/sheet/new/",
        f"/sheet/{open_['sheet']}/in-hand/",
        f"/sheet/{planned}/draw/",
        f"/sheet/{planned}/in-hand/",
    ]
    context = context_of(browser, on, "ana", size)
    context.add_cookies([{"name": "light", "value": light, "url": on.address}])
    page = context.pages[0]
    for place in places:
        page.goto(place)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), (place, size)
        assert findings(page) == [], place
        filled = page.locator(".go:visible")
        assert filled.count() == 1, (place, filled.all_inner_texts())
    context.close()
