"""The aerosol page: bands with both ends and their source, a fault in the place of a number, two set-ups, and the bench's fold."""

import re
from html import unescape
from typing import Any

import pytest

from drawndose.reference import load
from tests.pages import BOTTLE, client, post, words

ORDER = "albuterol 2.5 mg by jet nebulizer, made up to {}"


def page(query: dict[str, str] | None = None, **headers: str) -> str:
    answer = client().get("/aerosol/", query or {}, headers={"host": "127.0.0.1", **headers})
    assert answer.status_code == 200
    return answer.content.decode()  # type: ignore[no-any-return]


def bands(text: str, place: int = 1) -> dict[str, str]:
    """The answer of one set-up, by name."""
    lists = re.findall(r'<dl class="facts-list bands">(.*?)</dl>', text, re.DOTALL)
    return {
        words(name): words(band)
        for name, band in re.findall(r"<dt>(.*?)</dt><dd>(.*?)</dd>", lists[place - 1], re.DOTALL)
    }


def inputs(text: str) -> dict[str, str]:
    """What went in, with its source."""
    (went_in,) = re.findall(r'<dl class="facts-list went-in">(.*?)</dl>', text, re.DOTALL)
    return {words(one): words(said) for one, said in re.findall(r"<dt>(.*?)</dt><dd>(.*?)</dd>", went_in, re.DOTALL)}


def test_as_it_comes_every_answer_is_a_band_and_says_what_it_is_not() -> None:
    text = page()
    found = bands(text)
    assert list(found)[:4] == ["Time", "Comes out", "Breathed in", "Lung in all"]
    assert all(re.search(r"\d to \d", band) for band in found.values())
    assert "A published range is not a prediction for this patient." in words(text)
    assert "Nothing here is a dose, and nothing here changes one." in words(text)
    assert text.count('role="img"') == len(re.findall(r"<figure", text)) >= 4


def test_every_picture_has_a_name_words_and_a_table() -> None:
    for figure in re.findall(r"<figure.*?</figure>", page(), re.DOTALL):
        (ident,) = re.findall(r'<figure class="[^"]*" id="([^"]+)"', figure)
        assert f'aria-labelledby="{ident}-name"' in figure
        assert len(words(re.findall(rf'id="{ident}-words">(.*?)</div>', figure, re.DOTALL)[0])) > 20
        assert figure.count('<th scope="row">') >= 1


def test_each_input_has_both_ends_and_a_source_or_is_called_a_setting() -> None:
    found = inputs(page({"a-kind": "jet", "a-fill": "3 mL", "a-rate": "12 to 15"}))
    assert found["The fill"] == "3 mL typed here: a setting"
    assert found["The rate of breathing"] == "12 to 15 breaths a minute typed here: a setting"
    assert found["What stays in the cup"].startswith("0.8 to 2 mL Review of pulmonary drug delivery")
    assert "a setting from memory" in found["The spread of their sizes"]
    assert found["The share that is only water"].startswith("14 to 46 % ")
    assert all(len(said) > 12 for said in found.values())


def test_a_slider_counts_where_its_box_is_empty_and_its_left_end_is_the_kind() -> None:
    slid = page({"a-kind": "jet", "a-fill-at": "4", "a-residual-at": "1", "a-flow-at": "0", "a-fill": ""})
    found = inputs(slid)
    assert found["The fill"].startswith("4 mL")
    assert found["What stays in the cup"] == "1 mL typed here: a setting"
    assert found["The flow of gas"].startswith("6 to 8 L/min")
    assert inputs(page({"a-kind": "jet", "a-fill-at": "4", "a-fill": "2.5 mL"}))["The fill"].startswith("2.5 mL")
    assert 'min="1" max="10" step="0.5" value="2.5"' in page({"a-kind": "jet", "a-fill": "2.5 mL", "a-fill-at": "4"})


def test_one_thing_changed_at_a_time_says_why_three_and_not_two() -> None:
    def ways(query: dict[str, str]) -> dict[str, list[list[str]]]:
        found = re.findall(r'<table class="facts ways"><caption>(.*?)</caption>(.*?)</table>', page(query), re.DOTALL)
        rows = {title: re.findall(r"<tr>(<th scope=\"row\">.*?)</tr>", table, re.DOTALL) for title, table in found}
        cells = r"<t[hd][^>]*>(.*?)</t[hd]>"
        return {
            name: [[words(one) for one in re.findall(cells, row)] for row in several] for name, several in rows.items()
        }

    jet = ways({"a-kind": "jet", "a-fill": "3 mL"})
    assert list(jet) == ["The same charge in another fill", "Tapped to the end", "Stopped early"]
    assert [row[0] for row in jet["The same charge in another fill"]] == ["2 mL", "3 mL", "4 mL", "5 mL"]
    assert jet["The same charge in another fill"][1] == [
        "3 mL",
        "25 to 64 %",
        "1 to 9 min",
        "13 to 28 % of the charge more",
    ]
    assert jet["Stopped early"][0][0] == "stopped after 2 min"
    assert list(ways({"a-kind": "mesh", "a-fill": "3 mL"})) == ["The same charge in another fill", "Stopped early"]
    assert ways({"a-kind": "large-volume", "a-fill": "100 mL"}) == {}


def test_a_wave_of_ones_own_counts() -> None:
    sine, square = (
        bands(page({"a-kind": "jet", "a-fill": "3 mL", "a-wave": wave}))["Breathed in"] for wave in ("", "square")
    )
    assert sine != square
    assert "a wave is sine, square, or" in words(page({"a-kind": "jet", "a-fill": "3 mL", "a-wave": "0"}))


def test_the_charge_brings_amounts_beside_the_shares() -> None:
    assert re.fullmatch(
        r"\d+ to \d+ % \([\d.]+ to [\d.]+ mg\)", bands(page({"a-kind": "jet", "a-fill": "3 mL", "a-dose": "2.5 mg"}))["Comes out"]
    )  # fmt: skip


def test_more_fill_brings_more_out_and_longer() -> None:
    def middle(fill: str, name: str) -> float:
        low, high = re.findall(r"[\d.]+", bands(page({"a-kind": "jet", "a-fill": fill}))[name])[:2]
        return (float(low) + float(high)) / 2

    assert middle("2 mL", "Comes out") < middle("3 mL", "Comes out") < middle("5 mL", "Comes out")
    assert middle("3 mL", "Time") < middle("5 mL", "Time")


@pytest.mark.parametrize(
    ("query", "box", "label", "says"),
    [
        ({"a-fill": "0.5 mL"}, "a-fill", "Fill of the cup", "the fill is no more than what stays in the cup"),
        ({"a-size": "50"}, "a-size", "Mass median diameter, micrometres", "lies outside the range"),
        ({"a-rate": "500"}, "a-rate", "Breaths a minute", "lies outside the range"),
        ({"a-flow": "8 mg"}, "a-flow", "Flow of gas", "a value in L/min is wanted"),
        ({"a-ratio": "1"}, "a-ratio", "Inspiration to expiration", "a ratio is two numbers of more than 0"),
        (
            {"a-gas": "heliox 80-20"},
            "a-gas",
            "Driven by",
            "figures that were measured with oxygen or air say nothing of heliox",
        ),
        ({"a-kind": "kettle"}, "a-kind", "Nebulizer", "no nebulizer has this id"),
        ({"a-breath": "whale"}, "a-breath", "Breathing", "no pattern has this id"),
        ({"a-tapped": "yes", "a-kind": "mesh"}, "a-tapped", "Tapped to the end", "what tapping does"),
    ],
)
def test_outside_its_card_there_is_the_sentence_and_no_number(
    query: dict[str, str], box: str, label: str, says: str
) -> None:
    text = page({"a-kind": "jet", "a-fill": "3 mL", **query})
    assert '<dl class="facts-list bands">' not in text
    assert "<figure" not in text
    (at_box,) = re.findall(rf'id="fault-{box}">(.*?)</div>', text, re.DOTALL)
    assert says in words(at_box)
    refused = text.partition('id="faults"')[2]
    assert f"{label}: " in words(refused)
    assert f'href="#{box}"' in refused
    assert f'id="{box}"' in text


def test_two_set_ups_stand_side_by_side_and_one_fault_leaves_the_other() -> None:
    both = {"a-kind": "jet", "a-fill": "3 mL", "b-kind": "mesh", "b-fill": "3 mL"}
    text = page(both)
    assert bands(text, 1)["Comes out"] != bands(text, 2)["Comes out"]
    assert 'id="beside"' in text
    assert len(set(re.findall(r' id="([^"]+)"', text))) == len(re.findall(r' id="([^"]+)"', text))
    half = page(both | {"b-flow": "8 L/min"})
    assert "Set-up 2, Flow of gas: no gas drives a mesh nebulizer." in words(half)
    assert bands(half) == bands(text, 1)
    assert 'id="beside"' not in half


def test_regions_are_left_out_where_no_model_is_used_and_it_is_said() -> None:
    text = page({"a-kind": "jet", "a-fill": "3 mL", "a-breath": "child"})
    assert "Lung in all" not in bands(text)
    assert bands(text)["Breathed in"].startswith("at most ")
    assert "No regions: no model for where droplets settle in a child is used here." in words(text)


def test_live_answer_is_the_part_with_faults_at_boxes_and_never_a_box() -> None:
    text = page({"a-kind": "jet", "a-fill": "0.5 mL"}, **{"HX-Request": "true"})
    assert "<html" not in text
    assert "<input" not in text
    assert 'id="found"' in text
    assert 'id="fault-a-fill" hx-swap-oob="innerHTML"' in text
    assert "autofocus" not in text
    assert re.search(r'id="status" hx-swap-oob="innerHTML">1 thing could not be accepted', text)


def test_what_is_typed_is_escaped_cut_and_kept() -> None:
    text = page({"a-kind": "jet", "a-fill": "<b>3</b>", "a-dose": "9" * 500})
    assert "<b>3</b>" not in text
    assert "&lt;b&gt;3&lt;/b&gt;" in text
    assert "9" * 201 not in text
    assert client().post("/aerosol/", {}).status_code == 405


def after(text: str) -> str:
    (fold,) = re.findall(r'<details class="fold" id="after-filling">.*?</details>', text, re.DOTALL)
    return str(fold)


def test_the_bench_tells_time_fill_and_reason_and_leads_to_the_page() -> None:
    text = post(ORDER.format("3 mL"), [BOTTLE])
    said = words(after(text))
    assert re.search(r"After filling 1 to \d+ min", said)
    assert "It works from 3 to 4 mL for a small-volume jet nebulizer." in said
    assert "of the charge more than of 2 mL" in said
    assert "This never changes a dose." in said
    assert "works from 3 to 4 mL." not in words(text).replace(said, "")
    (leads,) = re.findall(r'href="(/aerosol/[^"]*)"', after(text))
    assert inputs(client().get(unescape(leads)).content.decode())["The fill"].startswith("3 mL")


def test_a_fill_below_what_works_is_a_caution_and_the_dose_stays() -> None:
    low, usual = post(ORDER.format("2 mL"), [BOTTLE]), post(ORDER.format("3 mL"), [BOTTLE])
    assert "The fill is 2 mL; a small-volume jet nebulizer works from 3 to 4 mL." in words(low)
    assert "the dose stays the same" in words(low)

    def number(text: str) -> list[str]:
        return re.findall(r'<p class="number">(.*?)</p>', text, re.DOTALL)

    assert number(low) == number(usual) != []


def test_hours_of_continuous_nebulizing_lead_to_no_small_cup() -> None:
    fold = after(post("10 mg/h albuterol by nebulizer for 4 h, output 25 mL/h", [BOTTLE], cup="reservoir-240"))
    assert re.search(r"After filling about [\d.]+ to [\d.]+ h", words(fold))
    assert re.findall(r'href="(/aerosol/[^"]*)"', fold) == ["/aerosol/"]


def test_a_plan_that_is_not_ready_has_nothing_after_filling() -> None:
    text = post("albuterol 2.5 mg in 3 mL saline by nebulizer")
    assert "After filling" not in text
    from drawndose import every_pack, plan, read_order
    from drawndose.department.web.after_filling import after_filling

    book = load()
    order = read_order("albuterol 2.5 mg in 3 mL saline by nebulizer", catalogue=book)
    made: Any = plan(order, containers=every_pack(book.presentations), instruments=book.instruments)
    assert after_filling(made, book) is None


def test_the_instruments_page_leads_here_and_back() -> None:
    assert 'href="/aerosol/"' in client().get("/instruments/").content.decode()
    text = page()
    assert 'href="/instruments/"' in text
    assert 'href="/"' in text
