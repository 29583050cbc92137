"""A whole day in the skills lab on a tablet: 24 learners, 4 evaluators, the network cut for a minute in the middle; nothing is lost.

A handful of attempts go through the browser, the others through the same acting functions that the pages call.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.conftest import SIZES
from tests.browser.serving import Served, served
from tests.browser.whole import findings
from tests.department.people.staff import PASSWORD

BEGIN = """
import django; django.setup()
from drawndose.department.training import attempts, cohort, days, deciding
from drawndose.department.training.models import *
from tests.department.training.school import *
"""
MAKE = """
from drawndose.department.ledger.models import Kind
from drawndose.department.ledger.storage import found
from drawndose.department.people.roles import Role
found(Kind.PRACTICE, actor="setup")
eyes = [person(name, f"{name.title()} Mockup", Role.EVALUATOR) for name in ("fay", "gil", "hin", "jo")]
top = person("max", "Max Manager", Role.MANAGER)
person("lea", "Lea Model", Role.LEARNER)
LIST = "number,name,username\\n101,Lea Model,lea\\n" + "".join(f"{100 + n},Learner {n:02d},\\n" for n in range(2, 25))
import tests.department.training.school as made
made.LIST = LIST
group, _ = programme(top)
day = practice_day(group, top)
days.give_stations(day, dict(enumerate(eyes, start=1)), by=top)
"""
REST = """
from drawndose.department.people.models import Person
from tests.lab.samples import PROVEN
day = LabDay.objects.get()
for place, learner in enumerate(days.seated(day)):
    for at in day.station_set.order_by("number"):
        at = Station.objects.select_related("day__cohort", "day__rule", "evaluator").get(pk=at.pk)
        card = next(one for one in days.cards_for(at, learner) if one["kind"] == "prepare")
        if Attempt.objects.filter(learner=learner, skill=card["form"]).exclude(state="broken off").exists():
            continue
        sheet = attempts.begin(at, learner, card, by=at.evaluator)
        proved(sheet.attempt)
        points = {"order": "not done"} if place % 7 == 3 else {}
        attempts.send(sheet, marks(sheet, **points), by=at.evaluator, version=sheet.version)
        sheet.attempt.refresh_from_db()
        deciding.take(sheet.attempt, by=at.evaluator, version=sheet.attempt.version)
"""
COUNTED = """
from drawndose.department.keeping.audit import audit
found = audit()
per = {}
for one in Attempt.objects.exclude(state="broken off"):
    per[f"{one.learner_id} {one.skill}"] = per.get(f"{one.learner_id} {one.skill}", 0) + 1
told = {
    "attempts": Attempt.objects.exclude(state="broken off").count(), "most": max(per.values()), "fault": found.fault,
    "states": sorted(set(Attempt.objects.values_list("state", flat=True))), "drafts": MarkDraft.objects.count(),
    "decided": Decision.objects.filter(state="stands").count(), "signed": SignOff.objects.filter(state="valid").count(),
}
"""


@dataclass(frozen=True)
class Lab:
    """A server with an invented programme, which can be asked about its records."""

    served: Served

    @property
    def address(self) -> str:
        return self.served.address

    def do(self, code: str) -> Any:
        return self.served.told(f"{BEGIN}\n{code}")


@pytest.fixture(scope="module")
def on(emptied: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lab]:
    with served(emptied, tmp_path_factory.mktemp("lab"), BEGIN + MAKE, threads=4) as made:
        yield Lab(made)


def signed_in(browser: Browser, on: Lab, who: str, size: str = "tablet") -> tuple[BrowserContext, Page, list[str]]:
    width, height = SIZES[size]
    context = browser.new_context(viewport={"width": width, "height": height}, base_url=on.address)
    page, troubles = context.new_page(), []
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.on("console", lambda said: troubles.append(said.text) if "Content Security" in said.text else None)
    page.goto("/sign-in/?next=/me/")
    page.fill("#username", who)
    page.fill("#password", PASSWORD)
    page.click("main .go")
    page.wait_for_url("**/me/")
    return context, page, troubles


def begin(page: Page) -> None:
    """The next learner of this evaluator's own station."""
    page.goto("/lab/")
    page.locator(".lab-mine .lab-next button").click()
    page.wait_for_url("**/lab/sheet/**")


def tap(page: Page, step: int, *, well: bool = True) -> None:
    points = page.locator(".lab-step[data-step]").nth(step).locator(".lab-point")
    (points.first if well else points.last).click()


def tap_all(page: Page, first: int = 0) -> None:
    for step in range(first, page.locator(".lab-step[data-step]").count()):
        tap(page, step)


def test_the_whole_day(browser: Browser, on: Lab) -> None:
    context, fay, troubles = signed_in(browser, on, "fay")
    fay.clock.install()

    # In order, then out of order; a critical failure stands at once, and is taken back.
    begin(fay)
    steps = fay.locator(".lab-step[data-step]").count()
    expect(fay.locator("#count")).to_have_text(f"0 of {steps} marked")
    tap(fay, 0)
    tap(fay, steps - 1)
    tap(fay, 1, well=False)
    expect(fay.locator("#critical")).to_contain_text("Critical failure. Step 2")
    fay.click("#undo")
    expect(fay.locator("#critical")).to_be_hidden()
    expect(fay.locator("#count")).to_have_text(f"2 of {steps} marked")
    assert "%" not in fay.locator("#sheet-form").inner_text()

    # The network goes away for a minute of the page's time; marking goes on, and the page may even be handed in.
    context.set_offline(True)
    tap_all(fay, 1)
    fay.locator(".lab-note summary").first.click()
    fay.locator(".lab-note input").first.fill("spoke aloud")
    fay.locator(".lab-note input").first.blur()
    fay.clock.run_for(3000)
    expect(fay.locator("#bar [data-says]")).to_contain_text("kept on this tablet")
    fay.click("#stop-clock")
    fay.click("#go")
    expect(fay.locator("#bar [data-says]")).to_contain_text("Not sent yet: no network")
    fay.click("#go")  # pressed again in vain: it is one sheet
    fay.clock.run_for(60_000)
    assert on.do("told = Evaluation.objects.get().state") == "open"
    context.set_offline(False)
    fay.clock.run_for(5000)
    fay.wait_for_url("**/lab/attempt/**")
    kept = on.do("one = Evaluation.objects.get(); told = [one.state, len(one.marks), list(one.notes.values())]")
    assert kept[0] == "sent"
    assert kept[1] >= steps + 2
    assert kept[2] == ["spoke aloud"]
    assert on.do("told = [one.state for one in Attempt.objects.all()]") == ["sent"]
    address = fay.url

    # A second evaluator, on another tablet, blind to the first.
    other, gil, gils = signed_in(browser, on, "gil")
    gil.goto(address)
    expect(gil.locator("main")).to_contain_text("not shown to you before the decision")
    gil.click('button[value="second"]')
    gil.wait_for_url("**/lab/sheet/**")
    expect(gil.locator("#strip")).to_contain_text("second sheet")
    expect(gil.locator("#count")).to_have_text(f"0 of {steps} marked")
    tap_all(gil)
    gil.click("#go")
    gil.wait_for_url("**/lab/attempt/**")

    # Evidence, judged and with a weight that needs its temperature; then the decision with its reasons.
    fay.goto(address)
    evidence(fay, on)
    fay.locator('button[value="decide"]').click()
    expect(fay.locator(".state-badge")).to_have_text("passed")

    # The learner sees it on a phone, and signs.
    theirs, lea, leas = signed_in(browser, on, "lea", "phone")
    lea.goto("/lab/mine/")
    lea.locator(".row-list a").first.click()
    lea.fill("#comment", "The order was hard to read.")
    lea.click('button[value="sign"]')
    expect(lea.locator("main")).to_contain_text("The order was hard to read.")

    # A page that is opened anew in the middle has every mark: on this tablet, and on another one.
    begin(fay)
    tap(fay, 0)
    tap(fay, 1)
    fay.clock.run_for(2000)
    expect(fay.locator("#bar [data-says]")).to_contain_text("Saved")
    fay.evaluate("localStorage.clear()")
    fay.reload()
    expect(fay.locator("#count")).to_contain_text("2 of")
    # Handed in too early, and pressed twice at once: it is asked, and nothing is handed in.
    fay.dblclick("#go")
    expect(fay.locator("#bar [data-says]")).to_contain_text("steps are not marked")
    assert "/lab/sheet/" in fay.url
    tap_all(fay, 2)
    fay.click("#go")
    fay.wait_for_url("**/lab/attempt/**")

    for one in (context, other, theirs):
        one.close()
    assert [*troubles, *gils, *leas] == []


def evidence(page: Page, on: Lab) -> None:
    """All that the card asks for, as right as the key says."""
    number = int(page.url.rstrip("/").rpartition("/")[2])
    asked = on.do(
        f"""
one = Attempt.objects.get(pk={number})
from drawndose.department.training.cards import task_of
task = task_of(one.card, one.station.day.at)
from drawndose.quantities import data_text, Quantity
key = task.key
right = key.worked.answer if key.worked else None
told = {{"stop": task.kind.value == "stop", "measured": key.measured, "volume": str(float(key.volume_mL or 0)),
        "sum": data_text(Quantity(right.value, right.unit)) if right is not None else ""}}
"""
    )
    if asked["stop"]:
        page.get_by_label("The learner stopped").check()
        page.fill("#said", "the reason of the key")
        page.get_by_label("It was the right reason").check()
    else:
        page.fill("#sum", asked["sum"])
        page.get_by_label("I looked at the label").check()
        for box in page.locator('.lab-line input[type="checkbox"]').all():
            box.check()
        if asked["measured"]:
            page.fill("#volume", f"{asked['volume']} mL")
            page.fill("#without", "8.0000")
            page.fill("#with", f"{8 + float(asked['volume']) * 0.997:.4f}")
            page.locator('button[value="evidence"]').click()
            expect(page.locator("#refused")).to_contain_text("temperature of the liquid is needed")
            page.fill("#temperature", "21")
            page.fill("#without", "8.0000")
            for box in page.locator('.lab-line input[type="checkbox"]').all():
                box.check()
    page.locator('button[value="evidence"]').click()
    expect(page.locator(".lab-evidence").first).not_to_contain_text("not taken yet")


def test_the_rest_of_the_class_and_nothing_is_lost(browser: Browser, on: Lab) -> None:
    on.do(
        """
from drawndose.department.people.models import Person
fay = Person.objects.get(username="fay")
for one in Attempt.objects.filter(state="sent"):
    proved(one)
    deciding.take(one, by=fay, version=one.version)
"""
    )
    on.do(REST)
    counted = on.do(COUNTED)
    assert counted["fault"] == ""
    assert counted["attempts"] >= 24 * 4
    assert (counted["most"], counted["drafts"]) == (1, 0)
    assert counted["decided"] == counted["attempts"]
    context, page, troubles = signed_in(browser, on, "max", "desk")
    page.goto("/lab/classes/1/")
    expect(page.locator(".lab-grid tbody tr")).to_have_count(24)
    page.goto("/lab/signed-off/")
    expect(page.locator("tbody tr")).to_have_count(counted["signed"])
    context.close()
    assert troubles == []


@pytest.mark.parametrize("light", ["day", "night"])
def test_axe_finds_nothing_and_nothing_is_cut(browser: Browser, on: Lab, light: str) -> None:
    sheet = on.do(
        """
from drawndose.department.people.models import Person
fay = Person.objects.get(username="fay")
row = Evaluation.objects.filter(evaluator=fay, state="open").first()
if row is None:
    day = LabDay.objects.get()
    late = cohort.enrol(day.cohort, "999", "Late Learner", by=fay)
    LabDay.objects.filter(pk=day.pk).update(seats=[late.pk, *day.seats[1:]])
    at = Station.objects.select_related("day__cohort", "day__rule").get(day=day, number=1)
    row = attempts.begin(at, late, days.cards_for(at, late)[0], by=fay)
told = row.pk
"""
    )
    pages = {
        "fay": ("/lab/", f"/lab/sheet/{sheet}/", "/lab/attempt/1/", "/lab/days/new/", "/lab/days/1/"),
        "max": (
            "/lab/programme/",
            "/lab/classes/1/",
            "/lab/classes/1/steps/",
            "/lab/learners/2/",
            "/lab/rule/",
            "/lab/signed-off/",
            "/lab/forms/t3-glass-ampoule/",
        ),
        "lea": ("/lab/mine/", "/lab/mine/1/"),
    }
    for who, addresses in pages.items():
        context, page, troubles = signed_in(browser, on, who, "phone" if who == "lea" else "tablet")
        for address in addresses:
            page.goto(f"{address}?light={light}")
            assert page.locator("html").get_attribute("data-light") == light, address
            page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
            assert findings(page, colours=light != "day") == [], address
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), address
        context.close()
        assert troubles == []
