"""The weighing page: readings one by one, pasted or out of a file; all of it judged, or every fault with nothing lost."""

import re
from fractions import Fraction
from html import unescape
from typing import Any

import pytest

from tests.pages import client, words

THREE = "0.4962\n0.5021\n0.4988"
HALF = {"target": "0.5 mL", "within": "5 %", "limit": "5 %", "liquid": "water", "acceptance": "guarded",
        "temperature": "21", "pressure": "1013", "humidity": "50", "columns": "net", "unit": "g"}  # fmt: skip


def upload(content: bytes, name: str = "sheet.csv") -> Any:
    client()
    from django.core.files.uploadedfile import SimpleUploadedFile

    return SimpleUploadedFile(name, content, content_type="text/csv")


def page(press: str = "go", **boxes: Any) -> str:
    sent = {**HALF, **{name.replace("_", "-"): value for name, value in boxes.items()}, press: "1"}
    answer = client().post("/weighing/", sent)
    assert answer.status_code == 200
    return answer.content.decode()  # type: ignore[no-any-return]


def listed(text: str) -> str:
    found = re.search(r'<textarea id="readings"[^>]*>\n(.*?)</textarea>', text, re.DOTALL)
    assert found is not None
    return unescape(found[1])


def begun(text: str) -> list[str]:
    return re.findall(r'name="begun" value="([^"]*)"', text)


def told(text: str) -> list[tuple[str, str]]:
    """Where each line of the list of faults leads, and what it says."""
    block = re.search(r'<div class="refused".*?</ul>', text, re.DOTALL)
    assert block is not None
    return [(leads, words(says)) for leads, says in re.findall(r'<a href="#([^"]+)">(.*?)</a>', block[0], re.DOTALL)]


def test_an_empty_page_says_beforehand_which_balance_would_do() -> None:
    said = words(client().get("/weighing/").content.decode())
    assert "No draw weighed yet" in said
    assert "Which balance would do, tolerance 5 %" in said
    assert "Smallest net mass 400 mg, about 0.4 mL 2 g, about 2 mL 20 g, about 20 mL" in said
    assert "0.25 mL this tolerance only this tolerance only too coarse too coarse" in said
    assert "Not accepted" not in said


def test_every_draw_has_its_volume_doubt_verdict_sign_and_chance() -> None:
    from drawndose.science.sheet_words import weigh_words

    text = page(readings=f"{THREE}\n0.44\n0.5231")
    rows = [words(row) for row in re.findall(r"<tr><th scope=\"row\">\d+</th>.*?</tr>", text, re.DOTALL)]
    _, found = weigh_words(HALF, lambda: f"{THREE}\n0.44\n0.5231")
    assert len(rows) == len(found.weighed) == 5
    assert rows[0] == "1 0.4962 g 0.4977 mL ± 0.0006 mL −0.5 % within conforms with over 99.99 %"
    for row, one in zip(rows, found.weighed, strict=True):
        assert one.verdict.call.value in row
    assert "The draws: 3 within, 1 outside, 1 cannot be told" in words(text)
    table = re.search(r'<table class="draws">.*?</table>', text, re.DOTALL)
    assert table is not None
    signs = re.findall(r"#([a-z-]+)\"/>", table[0])
    assert signs == ["check", "check", "check", "octagon-x", "circle-help"]


def test_the_series_tells_both_intervals_both_claims_and_what_to_take_over() -> None:
    text = page(readings=THREE)
    said = words(text)
    assert "Bias +0.1 %; with 95 % between −1.4 % and +1.6 %." in said
    assert "Spread 0.59 % of the mean; with 95 % between 0.31 % and 3.7 %." in said
    assert "Inside 5 %, the mean of the draws: within; 3 such draws would have been enough." in said
    assert "Inside 5 %, the next draw: within;" in said
    leads = re.search(r'href="(/instruments/compare/[^"]+)"', text)
    assert leads is not None
    taken = client().get(unescape(leads[1])).content.decode()
    assert 'name="spread" form="ask" value="0.593 %"' in taken
    assert re.search(r'name="draws" form="ask" value="3"', taken)
    assert re.search(r'id="holds"[^>]* checked', taken)
    assert "Not accepted" not in words(taken)


def test_the_comparison_begins_with_the_instrument_that_was_drawn_with() -> None:
    leads = re.search(r'href="(/instruments/compare/[^"]+)"', page(readings=THREE, instrument="syringe-5"))
    assert leads is not None
    assert "tool=syringe-5&tool=syringe-1&tool=syringe-3" in unescape(leads[1])


def test_a_keypad_is_asked_for_where_a_bare_number_will_do_and_nowhere_else() -> None:
    text = page()
    for name, keypad in (
        ("temperature", True),
        ("density", True),
        ("target", False),
        ("within", False),
        ("step", False),
    ):
        box = re.search(rf'<input id="{name}"[^>]*>', text)
        assert box is not None
        assert ('inputmode="decimal"' in box[0]) == keypad


def test_the_spread_goes_to_the_bench_with_an_order() -> None:
    text = page(readings="0.385\n0.40\n0.412\n0.395\n0.408", target="0.4 mL")
    form = re.search(r'<form class="take-over".*?</form>', text, re.DOTALL)
    assert form is not None
    sent = dict(re.findall(r'name="(sure-[a-z]+)" value="([^"]*)"', form[0]))
    order = {"order": "albuterol 2 mg by nebulizer, made up to 3 mL", "cup": "cup-6", "go": "1"}
    alone, with_it = (words(client().post("/", {**order, **more}).content.decode()) for more in ({}, sent))
    assert "the person's own spread: weigh ten draws and set it" in alone
    assert "the person's own spread: weigh ten draws and set it" not in with_it
    assert "the person's spread" in with_it


def test_what_is_counted_and_what_is_not() -> None:
    said = words(page(readings=THREE, blank="0.6 mg", expansion="0.0003", balance="balance-1-mg"))
    assert "Evaporation 0.6 mg added back by a blank" in said
    assert "Volume at 20 degC, expansion 0.0003 per degC" in said
    assert "Not counted calibration of the balance: check it with a weight drift of the balance" in said
    assert "from memory for its class" in said
    assert "too coarse" in said


def test_a_balance_that_is_too_coarse_is_a_caution_with_both_numbers() -> None:
    said = words(page(readings="0.49\n0.51", balance="balance-10-mg"))
    assert "For 0.5 mL this balance is too coarse (guard band more than all of the tolerance)." in said
    assert "Do: weigh on one of the balances below, or draw more." in said


def test_a_doubt_is_told_once_with_its_draws() -> None:
    said = words(page(readings="0.49621\n0.50215\n0.4988", pressure="760 hPa"))
    assert "Draws 1, 2: the reading is finer than the step of the display (it came as 0.49621 g)." in said
    assert "The pressure may be in mmHg" in said
    assert said.count("Caution") == 2


def test_at_most_three_cautions_stand_open() -> None:
    said = words(page(readings="0.52\n0.05\n0.49\n0.48001", pressure="760 hPa", humidity="0.5 %", instrument="0.5 mL"))
    assert "more caution" in said


def test_simple_acceptance_says_who_bears_the_doubt() -> None:
    said = words(page(readings="0.5231", acceptance="simple"))
    assert "1 within" in said
    assert "no guard band" in said
    assert "whoever relies on the verdict bears that" in said


def test_readings_come_one_by_one_and_join_their_draw() -> None:
    first = page("add", columns="without, with, again", reading="12.3456 g")
    assert (listed(first), begun(first)) == ("", ["12.3456 g"])
    assert "Draw 1: the full vessel (12.3456 g is there)." in words(first)
    assert 'aria-describedby="awaits eg-reading fault-reading" autofocus' in first
    assert "Not accepted" not in words(first)
    second = page("go", columns="without, with, again", reading="12.8421", begun=begun(first))
    third = page("go", columns="without, with, again", reading="12.3457", begun=begun(second))
    assert (listed(third), begun(third)) == ("12.3456 g; 12.8421; 12.3457", [])
    assert "Draw 2: the empty vessel." in words(third)
    assert "1 within" in words(third)


def test_a_reading_that_is_no_mass_stays_in_its_box_and_adds_nothing() -> None:
    text = page("add", readings=THREE, reading="0,512")
    assert listed(text) == THREE
    assert 'name="reading" value="0,512"' in text
    assert told(text) == [("reading", "Next reading: a comma stands where a decimal point belongs.")]
    assert "autofocus" in text[text.index('id="reading"') : text.index('name="add"')]


def test_taking_back_and_clearing() -> None:
    text = page("back", columns="without, with", readings="12.1; 12.6")
    assert (listed(text), begun(text)) == ("", ["12.1"])
    again = page("back", columns="without, with", begun=["12.1"])
    assert (listed(again), begun(again)) == ("", [])
    cleared = page("clear", readings=THREE, begun=["1"], reading="x")
    assert (listed(cleared), begun(cleared)) == ("", [])
    assert "Not accepted" not in words(cleared)


def test_a_file_is_read_into_the_box_and_judged() -> None:
    text = page(file=upload("\ufeffwithout (g);with (g)\r\n12.3456;12.8421\r\n12.3457;12.8399\r\n".encode()))
    assert listed(text) == "without (g);with (g)\n12.3456;12.8421\n12.3457;12.8399\n"
    assert "2 within" in words(text)


@pytest.mark.parametrize(
    ("content", "rule"),
    [
        (b"\xff\xfe0\x00.\x005\x00", "the file is not text in UTF-8"),
        (b"PK\x03\x04\x00\x00", "the file is not text in UTF-8"),
        (b"0.5\n" * 40_000, "the file is larger than is read at once"),
        (b"0.5\n" * 400_000, "the file is larger than is read at once"),
    ],
)
def test_a_file_that_cannot_be_read_leaves_everything_as_it_was(content: bytes, rule: str) -> None:
    text = page(file=upload(content), humidity="40")
    assert listed(text) == ""
    assert told(text) == [("file", f"A file of readings: {rule}.")]
    assert 'name="humidity" value="40"' in text
    assert 'class="draws"' not in text


def test_a_file_does_not_mix_with_readings_that_are_there() -> None:
    text = page(readings=THREE, file=upload(b"0.51\n0.52"))
    assert listed(text) == THREE
    assert told(text)[0][0] == "file"
    assert "a file goes into an empty box" in told(text)[0][1]


def test_a_bad_row_of_a_file_stands_in_the_box_with_its_number_and_nothing_is_judged() -> None:
    text = page(file=upload(b"without;with\n12.1;12.6\n12,1;12.6\nwithout;with\n12.6;12.1\n"), columns="without, with")
    assert listed(text).splitlines()[2] == "12,1;12.6"
    assert [says.partition(":")[0] for _, says in told(text)] == [
        "Row 3, without", "Row 4, without", "Row 4, with", "Row 5, readings",
    ]  # fmt: skip
    assert {leads for leads, _ in told(text)} == {"readings"}
    assert 'class="draws"' not in text


def test_every_fault_stands_at_the_top_and_leads_to_its_box_and_nothing_typed_is_lost() -> None:
    typed = {"target": "0.5 mg", "within": "<b>", "temperature": "72", "pressure": "760 mmHg", "density": "1,06",
             "blank-minutes": "3", "limit": "", "repeatability": "x", "readings": "0,5\n0.5", "reading": "?"}  # fmt: skip
    text = page(**typed)
    found = told(text)
    assert [leads for leads, _ in found] == [
        "target", "within", "density", "temperature", "pressure", "repeatability", "blank-minutes", "reading", "readings",
    ]  # fmt: skip
    for leads, _ in found:
        assert text.count(f' id="{leads}"') == 1
    for name in ("target", "within", "temperature", "pressure", "density", "blank-minutes", "repeatability", "reading"):
        kept = re.search(rf'<input id="{name}" name="{name}" value="([^"]*)"', text)
        assert kept is not None
        assert unescape(kept[1]) == typed[name]
    assert listed(text) == typed["readings"]
    assert text.count('aria-invalid="true"') == 9
    for place in ("liquid", "room", "balance", "evaporation"):
        assert re.search(rf'id="place-{place}" open', text), place
    assert "9 things could not be accepted." in words(text)


def test_a_sheet_without_readings_asks_for_them_only_when_judged() -> None:
    assert [says for _, says in told(page())] == ["All readings, one draw a line: there are no readings."]
    assert "Not accepted" not in words(page("light"))


def test_lighting_on_a_new_page_judges_nothing_and_later_keeps_everything() -> None:
    browser = client()
    text = browser.post("/weighing/", {"light": "night"}).content.decode()
    assert 'data-light="night"' in text
    assert "Not accepted" not in words(text)
    later = browser.post("/weighing/", {**HALF, "readings": THREE, "light": "day"}).content.decode()
    assert listed(later) == THREE
    assert "3 within" in words(later)


def test_the_strip_stands_where_its_numbers_say() -> None:
    text = page(readings=f"{THREE}\n0.44\n0.5231")
    drawn = re.search(r'<svg class="strip-of-draws".*?</svg>', text, re.DOTALL)
    assert drawn is not None
    levels = re.findall(
        r'class="(?:tolerance-edge|target-line|guard-edge)"[^>]* y1="([\d.]+)"[^>]*data-ml="([^"]+)"', drawn[0]
    )
    assert len(levels) == 5
    (y0, v0), (y1, v1) = ((float(y), float(Fraction(v))) for y, v in (levels[0], levels[1]))
    per_ml = (y1 - y0) / (v1 - v0)
    for y, volume in levels:
        assert y0 + (float(Fraction(volume)) - v0) * per_ml == pytest.approx(float(y), abs=0.25)
    bars = re.findall(r'class="doubt"[^>]* y1="([\d.]+)"[^>]* y2="([\d.]+)" data-ml="([^"]+)"', drawn[0])
    assert len(bars) == 6
    for top, bottom, volume in bars[:5]:
        middle = (float(top) + float(bottom)) / 2
        assert y0 + (float(Fraction(volume)) - v0) * per_ml == pytest.approx(middle, abs=0.25)
    assert drawn[0].count('class="dot-mark"') == 3
    assert drawn[0].count('class="cross-mark"') == drawn[0].count('class="diamond-mark"') == 1
    assert 'aria-labelledby="draws-strip-name"' in drawn[0]
    said = words(text)
    assert "5 draws against 0.5 mL, tolerance 0.475 mL to 0.525 mL" in said
    assert "Least 0.4413 mL, draw 4 Most 0.5247 mL, draw 5" in said


@pytest.mark.parametrize("count", [1, 2, 11, 60, 150])
def test_the_strip_holds_any_number_of_draws(count: int) -> None:
    text = page(readings="\n".join(f"0.49{place % 97:02}" for place in range(count)))
    drawn = re.search(r'<svg class="strip-of-draws".*?</svg>', text, re.DOTALL)
    assert drawn is not None
    assert drawn[0].count("dot-mark") == count
    for x in re.findall(r' x="(-?[\d.]+)"', drawn[0]):
        assert 0 <= float(x) <= 344
    labels = [float(y) for y in re.findall(r'class="numeral" x="[\d.]+" y="([\d.]+)"', drawn[0])]
    assert min(b - a for a, b in zip(sorted(labels), sorted(labels)[1:], strict=False)) >= 17


def test_house_rules_hold_here_too() -> None:
    for text in (page(readings=THREE), page(target="x", readings="<b>"), client().get("/weighing/").content.decode()):
        assert not re.search(r"\sstyle=|\son[a-z]+=|<style|<script|javascript:", text)
        assert re.findall(r'(?:src|href|action)="(?:https?:)?//', text) == []
        ids = re.findall(r'\sid="([^"]+)"', text)
        assert sorted(ids) == sorted(set(ids))
        assert text.count('class="go"') == 1
        for label in re.findall(r'<label for="([^"]+)"', text):
            assert label in ids
    answer = client(enforce_csrf_checks=True).post("/weighing/", HALF)
    assert answer.status_code == 403
    assert "unsafe" not in client().get("/weighing/")["Content-Security-Policy"]
    assert client().put("/weighing/").status_code == 405


def test_the_other_pages_lead_here_and_here_leads_back() -> None:
    assert 'href="/weighing/"' in client().get("/").content.decode()
    assert 'href="/weighing/"' in client().get("/instruments/").content.decode()
    text = client().get("/weighing/").content.decode()
    assert 'href="/instruments/"' in text
    assert '<a class="away" href="/">To the bench</a>' in text
