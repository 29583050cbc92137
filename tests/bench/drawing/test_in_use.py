"""Bubble, over-draw, needle, vial and ampoule in use: each drawn amount is the share that its volume is."""

import re
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest

from drawndose.bench import drawing
from drawndose.bench.drawing.ampoule import FULL, HALF, SINE, liquid
from drawndose.bench.drawing.inverted import INSIDE, REACH, ROOM, tip_height
from drawndose.bench.draws import line_words
from drawndose.reference import Container, How, Instrument, Kind, load
from tests.bench.drawing.seen import CLOSE, area, lines, points, texts

BOOK = load()
FILTERS = [needle for needle in BOOK.needles if needle.filters]
PI = Fraction(314159265, 100_000_000)


def per_ml(svg: str) -> Fraction:
    (first, start), (last, end) = lines(svg, "mark")[0], lines(svg, "mark")[-1]
    return (end - start) / (last - first)


@pytest.mark.parametrize(
    ("ident", "volume", "air"),
    [("syringe-3", "0.4", "0.05"), ("syringe-1", "0.52", "0.01"), ("syringe-10", "5", "0.5"), ("syringe-1", "0.05", "0.01")],
)  # fmt: skip
def test_a_round_bubble_covers_the_area_of_its_share_of_the_barrel(ident: str, volume: str, air: str) -> None:
    made = drawing.syringe("d", BOOK.instrument(ident), Fraction(volume), "here", bubble=Fraction(air))
    found = re.search(r'class="bubble" cx="\S+" cy="(\S+)" r="(\S+)"', made.svg)
    assert found is not None
    middle, radius = Fraction(found[1]), Fraction(found[2])
    share = Fraction(air) * per_ml(made.svg) * 60  # a slice of the barrel, which is 60 pixels wide
    assert abs((share / PI) - radius**2) <= CLOSE * radius
    [(_, edge)] = lines(made.svg, "edge")
    assert middle + radius < edge


@pytest.mark.parametrize(("ident", "volume", "air"), [("syringe-3", "0.4", "0.3"), ("syringe-1", "0.52", "0.2")])
def test_more_air_than_a_round_bubble_lies_as_a_layer_under_the_tip(ident: str, volume: str, air: str) -> None:
    made = drawing.syringe("d", BOOK.instrument(ident), Fraction(volume), "here", bubble=Fraction(air))
    assert 'class="bubble"' not in made.svg
    [(stands_for, end)] = lines(made.svg, "air-edge")
    zero = dict(lines(made.svg, "mark"))[Fraction(0)]
    assert stands_for == Fraction(air)
    assert abs(end - zero - Fraction(air) * per_ml(made.svg)) <= CLOSE
    assert made.small == ""


def test_a_bubble_is_told_with_what_is_left_of_the_liquid_and_never_drawn_unasked() -> None:
    tool = BOOK.instrument("syringe-1")
    made = drawing.syringe("d", tool, Fraction(13, 25), "here", bubble=Fraction(3, 100))
    assert made.name == "1 mL syringe, luer lock: fill to 0.52\u00a0mL, air 0.03\u00a0mL."
    assert made.words[3].replace("\u00a0", " ") == (
        "Air 0.03 mL: push out, read again. The edge stands at 0.52 mL, the liquid is 0.49 mL."
    )
    assert {"air 0.03 mL:", "push out,", "read again"} <= set(texts(made.svg))
    plain = drawing.syringe("d", tool, Fraction(13, 25), "here")
    assert "bubble" not in plain.svg
    assert "air" not in " ".join(plain.words).lower()


@pytest.mark.parametrize("air", ["-0.01", "0.4", "0.5"])
def test_air_that_leaves_no_liquid_is_not_drawn(air: str) -> None:
    with pytest.raises(ValueError, match="must leave some liquid"):
        drawing.syringe("d", BOOK.instrument("syringe-3"), Fraction("0.4"), "here", bubble=Fraction(air))


def test_past_the_mark_and_trimmed_are_one_line_apart_and_numbered() -> None:
    for ident, volume in (("syringe-1", "0.52"), ("syringe-3", "0.4"), ("syringe-10", "0.2"), ("syringe-3", "2.9")):
        tool = BOOK.instrument(ident)
        made = drawing.trim("d", tool, Fraction(volume), line_words(tool, Fraction(volume)))
        [(first, past)] = lines(made.svg, "past")
        [(second, edge)] = lines(made.svg, "edge")
        assert (first, second) == (Fraction(volume) + tool.step, Fraction(volume))
        marks = dict(lines(made.svg, "mark"))
        assert (past, edge) == (marks[first], marks[second])
        assert past - edge >= 10, "two moments that cannot be told apart"
        assert [text for text in texts(made.svg) if text in {"1", "2"}][-2:] == ["2", "1"]
        assert made.words[0].startswith("1. ")
        assert made.words[1].startswith("2. ")
        assert f"{first - second}" == f"{tool.step}"


def test_nothing_is_drawn_past_the_last_line() -> None:
    tool = BOOK.instrument("syringe-3")
    assert not drawing.can_trim(tool, tool.capacity)
    assert not drawing.can_trim(tool, Fraction(1, 4))
    with pytest.raises(ValueError, match="no line to draw past to"):
        drawing.trim("d", tool, tool.capacity, "here")


def test_needle_and_barrel_are_drawn_in_the_same_millimetres() -> None:
    for tool in (BOOK.instrument("syringe-1"), BOOK.instrument("syringe-20"), BOOK.instrument("syringe-3-slip")):
        for needle in BOOK.needles:
            made = drawing.needle_on("d", tool, needle)
            found = re.search(r'class="needle" d="M \S+ (\S+) V \S+ L \S+ (\S+) V', made.svg)
            assert found is not None
            marks = lines(made.svg, "mark")
            assert tool.scale_length is not None
            pixels_per_mm = (marks[-1][1] - marks[0][1]) / tool.scale_length
            if needle.length_mm is not None:
                assert abs((Fraction(found[1]) - Fraction(found[2])) / pixels_per_mm - needle.length_mm) <= CLOSE
                assert made.words[0].startswith("Barrel and needle in proportion.")
            else:
                assert 'class="gap"' in made.svg
                assert made.words[0].startswith("Not in proportion, for want of the length of the needle.")


def test_a_scale_of_unknown_length_is_not_said_to_be_in_proportion() -> None:
    tool = replace(BOOK.instrument("syringe-3"), scale_length=None, scale_length_origin=None)
    made = drawing.needle_on("d", tool, BOOK.needles[0])
    assert made.words[0].startswith("Not in proportion, for want of the length of the scale.")
    with pytest.raises(ValueError, match="known length"):
        drawing.life_size("d", tool, Fraction(1), "here")


def test_a_number_without_room_is_left_out_and_its_mark_is_not() -> None:
    tool = replace(BOOK.instrument("syringe-1"), numbered=Fraction(1, 20))
    made = drawing.needle_on("d", tool, BOOK.needles[0])
    assert len(lines(made.svg, "mark")) == 21
    heights = [Fraction(y) for y in re.findall(r'<text class="numeral" x="\S+" y="(\S+)"', made.svg)]
    assert len(heights) == 11
    assert min(low - high for high, low in pairwise(heights)) >= 17


def test_a_filter_comes_off_first_in_picture_and_words() -> None:
    tool = BOOK.instrument("syringe-3")
    for needle in BOOK.needles:
        told = any(
            "take it off before the drug leaves the syringe" in words
            for words in drawing.needle_alone("d", needle).words
        )
        shown = 'class="filter"' in drawing.needle_on("d", tool, needle).svg
        assert told == shown == needle.filters


def test_only_a_luer_tip_takes_a_needle_and_only_a_line_is_filled_to() -> None:
    with pytest.raises(ValueError, match="takes no needle"):
        drawing.needle_on("d", BOOK.instrument("syringe-3-oral"), BOOK.needles[0])
    with pytest.raises(ValueError, match="no line"):
        drawing.needle_on("d", BOOK.instrument("syringe-3"), BOOK.needles[0], Fraction(1, 4))
    empty = drawing.needle_on("d", BOOK.instrument("syringe-3"), BOOK.needles[0])
    assert "Filled to" not in dict(empty.rows)
    assert dict(drawing.needle_on("d", BOOK.instrument("syringe-3"), BOOK.needles[0], Fraction(1)).rows)["Filled to"]


@pytest.mark.parametrize(
    ("holds", "full", "taken"),
    [("20", "20", "0.5"), ("4", "4", "4"), ("2.5", "20", "1.2"), ("1", "1", "0.9"), ("4", "4", "1")],
)
def test_the_tip_stands_under_what_is_left_in_the_vial(holds: str, full: str, taken: str) -> None:
    contents, leaves = (Fraction(holds), Fraction(full)), Fraction(taken)
    made = drawing.inverted_vial("d", Container.STOPPERED_VIAL, "a vial", contents, leaves)
    [(before, level)] = lines(made.svg, "level")
    [(after, end)] = lines(made.svg, "level after")
    assert (before, after) == (contents[0], contents[0] - leaves)
    assert abs(end - level - leaves / contents[1] * INSIDE) <= CLOSE
    tip = Fraction(re.search(r'class="needle" d="M \S+ \S+ V \S+ L \S+ (\S+)', made.svg)[1])  # type: ignore[index]
    assert tip >= end, "the tip stands in air at the end of the draw"
    assert ("draw the tip back" in " ".join(made.words)) == (after / contents[1] * INSIDE < REACH + ROOM)


def test_the_tip_is_drawn_back_with_the_level() -> None:
    heights = [tip_height(Fraction(share, 100)) for share in range(101)]
    assert heights[0] == 0
    assert heights[-1] == REACH
    assert heights == sorted(heights)
    assert all(height < share for share, height in enumerate(heights) if share)


def test_only_a_stopper_is_pierced_and_no_more_leaves_than_there_is() -> None:
    with pytest.raises(ValueError, match="no stopper"):
        drawing.inverted_vial("d", Container.GLASS_AMPOULE, "x", (Fraction(1), Fraction(1)), Fraction(1))
    for taken in (Fraction(0), Fraction(2)):
        with pytest.raises(ValueError, match="cannot leave"):
            drawing.inverted_vial("d", Container.POWDER_VIAL, "x", (Fraction(1), Fraction(1)), taken)
        with pytest.raises(ValueError, match="cannot leave"):
            drawing.opened_ampoule("d", "x", (Fraction(1), Fraction(1)), taken, FILTERS[0])


def test_the_liquid_in_the_tilted_ampoule_is_level_and_as_large_as_its_share() -> None:
    for percent in range(1, 101):
        share = Fraction(percent, 100)
        made = drawing.opened_ampoule("d", "x", (share, Fraction(1)), share, FILTERS[0])
        corners = points(made.svg, "liquid-body")
        assert abs(area(corners) / (FULL * 2 * HALF) - share) <= Fraction(1, 500)
        (_, left), (_, right) = points(made.svg, "level")
        assert abs(left - right) <= CLOSE, "a surface that is not level"
        assert left == min(y for _, y in corners), "nothing of the liquid stands above its surface"


def test_the_tilt_is_a_triangle_of_whole_numbers() -> None:
    assert Fraction(5, 13) == SINE
    assert len(liquid(Fraction(1, 100))) == 3
    assert len(liquid(Fraction(1, 2))) == 4


def test_an_ampoule_is_drawn_through_a_filter_and_nothing_else() -> None:
    plain = next(needle for needle in BOOK.needles if not needle.filters)
    with pytest.raises(ValueError, match="holds back no glass"):
        drawing.opened_ampoule("d", "x", (Fraction(1), Fraction(1)), Fraction(1), plain)
    made = drawing.opened_ampoule("d", "x", (Fraction(1), Fraction(1)), Fraction(1), FILTERS[0])
    assert any("take it off before the drug leaves the syringe" in words for words in made.words)
    assert "level after" not in made.svg, "nothing is left, so there is no level"


def test_a_length_that_was_read_carries_no_mark_and_one_without_a_place_says_how_it_is_known() -> None:
    tool = BOOK.instrument("syringe-3")
    assert tool.scale_length_origin is not None

    def told(**changed: object) -> str:
        origin = replace(tool.scale_length_origin, **changed)  # type: ignore[type-var]
        return drawing.life_size("d", replace(tool, scale_length_origin=origin), Fraction(1), "here").words[1]

    assert told(how=How.READ).startswith("The scale is 27\u00a0mm long. ")
    assert told(how=How.PRACTICE, at="-").startswith("The scale is 27\u00a0mm long (common practice). ")


def test_what_is_no_syringe_or_between_lines_has_no_life_size() -> None:
    dropper = next(tool for tool in BOOK.measures if tool.kind is Kind.DROPPER)
    with pytest.raises(ValueError, match="no syringe"):
        drawing.life_size("d", dropper, Fraction(1, 2), "here")
    with pytest.raises(ValueError, match="no line"):
        drawing.life_size("d", BOOK.instrument("syringe-3"), Fraction(1, 4), "here")
    unknown = replace(BOOK.instrument("syringe-3"), scale_length=None)
    with pytest.raises(ValueError, match="not known"):
        drawing_bore(unknown)


def drawing_bore(tool: Instrument) -> Fraction:
    from drawndose.bench.drawing.proportion import bore_mm

    return bore_mm(tool)
