"""The reference pages of the department say what the code says: verbs, settings, lists, metrics, states and their pictures."""

import re
import xml.etree.ElementTree as ET

import pytest

from tests.pages import django
from tools import department_page, states_page

SVG = "{http://www.w3.org/2000/svg}"


def test_the_tables_are_up_to_date() -> None:
    django()
    assert department_page.main(["--check"]) == 0, "run: python -m tools.department_page"


def test_the_pictures_of_states_and_their_page_are_up_to_date() -> None:
    assert states_page.main(["--check"]) == 0, "run: python -m tools.states_page"


def test_a_planted_gap_is_filled() -> None:
    django()
    page = department_page.PAGE.read_text(encoding="utf-8")
    assert department_page.filled(page.replace("| `drawndose department audit` |", "| |")) == page
    page = states_page.PAGE.read_text(encoding="utf-8")
    assert states_page.filled(page.replace("`dose.released`", "``")) == page


@pytest.mark.parametrize("name", states_page.DRAWN)
def test_a_picture_shows_every_state_and_every_event_and_says_them(name: str) -> None:
    _, table = states_page.DRAWN[name]
    root = ET.parse(states_page.DOCS / f"images/states-{name}.svg").getroot()
    texts = [element.text for element in root.iter(f"{SVG}text")]
    events = [states_page.word(event) for led in table.values() for event in led]
    assert sorted(texts) == sorted([*(state for state in table if state), *events])
    assert len(list(root.iter(f"{SVG}circle"))) == len(events)
    told = root.findtext(f"{SVG}desc") or ""
    for state, led in table.items():
        for event, to in led.items():
            assert f"{states_page.word(event)} leads to {to}" in told, (state, event)


@pytest.mark.parametrize("name", states_page.DRAWN)
def test_every_line_of_a_picture_ends_on_the_upright_line_of_its_state(name: str) -> None:
    """Read out of the drawing alone: a line's dot, the upright line through it, the box that this runs into."""
    _, table = states_page.DRAWN[name]
    root = ET.parse(states_page.DOCS / f"images/states-{name}.svg").getroot()
    uprights = {}
    for element in root.iter(f"{SVG}path"):
        found = re.fullmatch(r"M(\d+) (\d+)V(\d+)M\1 (\d+)H\d+", element.get("d", ""))
        if found is not None:
            lane, top, bottom, home = map(int, found.groups())
            uprights[lane] = (top, bottom, home)
    boxes = {
        int(element.get("y", "0")) - 20: element.text
        for element in root.iter(f"{SVG}text")
        if element.get("font-weight") == "700"
    }
    led = []
    for dot in root.iter(f"{SVG}circle"):
        lane, row = int(dot.get("cx", "0")), int(dot.get("cy", "0"))
        top, bottom, home = uprights[lane]
        assert top <= row <= bottom
        led.append(boxes[home - states_page.TALL // 2])
    assert led == [to for events in table.values() for to in events.values()]
