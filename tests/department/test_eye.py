"""Where the eye stands and what air takes away: numbers to learn by, beneath each drawing, that never change the plan."""

import re
from fractions import Fraction
from typing import Any

import pytest

from tests.pages import BOTTLE, client, form, post, words

SYRINGE = "albuterol 2 mg by nebulizer, made up to 3 mL"
DROPPER = "albuterol 2.5 mg by nebulizer, made up to 3 mL"
DILUTED = "albuterol 0.15 mg by nebulizer to 3 mL"


def seen(order: str, ident: str = "draw-1", **controls: str) -> str:
    """What the fragment says for one drawing, with controls by their short names."""
    sent = form(order, [BOTTLE], **{f"eye-{name.replace('_', '-')}-{ident}": value for name, value in controls.items()})
    answer = client().post("/eye/", sent | {"eye-for": ident})
    assert answer.status_code == 200
    return answer.content.decode()  # type: ignore[no-any-return]


def whole(order: str, **sent: Any) -> str:
    return post(order, [BOTTLE], **sent)


def fold(page: str, ident: str = "draw-1") -> str:
    found = re.search(rf'<details class="fold eye" id="{ident}-eye".*?</details>', page, re.DOTALL)
    assert found is not None
    return found[0]


def test_from_above_a_syringe_set_to_its_line_holds_more() -> None:
    said = words(seen(SYRINGE, tilt="20"))
    assert (
        "From 20 degrees above, about 0.404 mL looks like 0.4 mL: about 0.0041 mL more than the line, 1 % more dose."
        in said
    )
    assert "That is about 2.02 mg of albuterol in place of 2 mg." in said
    assert "20 degrees below, about 0.396 mL looks like 0.4 mL" in words(seen(SYRINGE, tilt="-20"))
    assert "With the eye level, the line shows what is there: 0.4 mL." in words(seen(SYRINGE))


def test_a_typed_angle_goes_before_the_slider_and_moves_it() -> None:
    page = whole(SYRINGE, **{"eye-tilt-draw-1": "10", "eye-angle-draw-1": "30 below"})
    assert 'min="-60" max="60" step="1" value="-30"' in fold(page)
    assert 'name="eye-angle-draw-1" form="bench-form" value=""' in fold(page)
    assert "From 30 degrees below" in words(fold(page))
    half = fold(whole(SYRINGE, **{"eye-tilt-draw-1": "10", "eye-angle-draw-1": "12.5"}))
    assert 'name="eye-angle-draw-1" form="bench-form" value="12.5"' in half
    assert "From 12.5 degrees above" in words(half)


def test_own_lengths_go_before_those_from_memory() -> None:
    page = fold(whole(SYRINGE, **{"eye-tilt-draw-1": "20"}))
    assert "empty: 57 mm, from memory (ISO 7886-1:1993, Table 1, least scale length, under 2 mL)" in words(page)
    assert "empty: 1 mm, a setting" in words(page)
    twice = words(seen(SYRINGE, tilt="20", **{"gap": "", "scale": ""}))
    assert "0.0041 mL more" in twice
    own = {"eye-scale-draw-1-syringe-1": "28.5 mm", "eye-tilt-draw-1": "20", "eye-for": "draw-1"}
    said = words(
        client()
        .post("/eye/", form(SYRINGE, [BOTTLE], tool="syringe-1", **{"tools-listed": "1"}) | own)
        .content.decode()
    )
    assert "about 0.0082 mL more than the line" in said


def test_for_a_dropper_the_lengths_are_asked_for_and_no_number_is_given() -> None:
    said = words(seen(DROPPER, tilt="20"))
    assert "There is no number until the lengths that the boxes ask for are measured" in said
    assert "%" not in said
    lengths = {
        "eye-scale-draw-1-dropper-0.25-0.5": "30",
        "eye-gap-draw-1-dropper-0.25-0.5": "4",
        "eye-tilt-draw-1": "20",
    }
    page = fold(whole(DROPPER, **lengths))
    # A tube whose numbers grow upwards reads high from above, so less is there: 4 mm x 0.266 / 30 mm x 0.5 mL
    assert (
        "From 20 degrees above, about 0.482 mL looks like 0.5 mL: about 0.018 mL less than the line, 3.5 % less dose."
        in words(page)
    )
    assert 'value="30"' in page


def test_a_bubble_takes_its_volume_from_the_dose_and_is_drawn_in_the_syringe() -> None:
    page = seen(SYRINGE, air="0.03")
    said = words(page)
    assert (
        "A bubble of 0.03 mL (about 3.9 mm across if it is round) is no liquid: 0.37 mL is there at the 0.4 mL line, 7.5 % less dose."
        in said
    )
    assert "That is about 1.85 mg of albuterol in place of 2 mg. Push it out, and read again." in said
    assert "fill to 0.4 mL, air 0.03 mL." in said
    assert 'class="bubble"' in page
    assert "scale-drawing" not in seen(DROPPER, air="0.03")
    assert "0.47 mL is there at the 0.5 mL line, 6 % less dose" in words(seen(DROPPER, air="0.03"))


def test_a_bubble_may_be_typed_as_a_width() -> None:
    said = words(seen(SYRINGE, air="0.1", bubble="4 mm"))
    assert "A bubble of 0.034 mL (about 4 mm across if it is round)" in said
    page = fold(whole(SYRINGE, **{"eye-bubble-draw-1": "0.05 mL"}))
    assert 'step="0.01" value="0.05"' in page
    assert "A bubble of 0.05 mL" in words(page)


def test_no_bubble_is_drawn_without_one() -> None:
    assert "A bubble of" not in words(seen(SYRINGE))
    assert "scale-drawing" not in seen(SYRINGE)


def test_the_control_ends_below_what_is_drawn() -> None:
    small = fold(post("albuterol 0.5 mg by nebulizer, made up to 3 mL", [BOTTLE]))
    assert 'max="0.09"' in small  # 0.1 mL is drawn
    assert 'max="0.2"' in fold(whole(SYRINGE))


@pytest.mark.parametrize(
    ("controls", "rule"),
    [
        ({"angle": "steep"}, "the angle of the eye is a number of degrees"),
        ({"angle": "-20 below"}, "the angle of the eye is a number of degrees"),
        ({"angle": "61"}, "the eye stands at most 60 degrees above or below"),
        ({"angle": "1.2.3"}, "a number is digits with at most one point"),
        ({"bubble": "0.4 mL"}, "a bubble is less than what is drawn, and at most 0.2 mL here"),
        ({"bubble": "0.25 mL"}, "a bubble is less than what is drawn, and at most 0.2 mL here"),
        ({"bubble": "9 mm"}, "a bubble is less than what is drawn"),
        ({"bubble": "40 mm"}, "a bubble is less than what is drawn"),
        ({"bubble": "3 mg"}, "a bubble is a volume, or how wide it is"),
    ],
)
def test_what_cannot_be_read_is_said_and_shows_no_number(controls: dict[str, str], rule: str) -> None:
    page = seen(SYRINGE, **controls)
    said = words(page)
    assert f"Not accepted: {rule}" in said
    assert ("looks like" not in said) or "angle" not in controls
    assert "A bubble of" not in said
    again = whole(SYRINGE, **{f"eye-{name}-draw-1": value for name, value in controls.items()})
    assert re.search(r'<p class="number"><span class="qty">0\.4', again)
    assert f'value="{next(iter(controls.values()))}"' in fold(again)


@pytest.mark.parametrize(("name", "value"), [("scale", "4"), ("scale", "long"), ("gap", "60 mm")])
def test_a_length_that_cannot_be_is_refused(name: str, value: str) -> None:
    sent = form(SYRINGE, [BOTTLE], **{f"eye-{name}-draw-1-syringe-1-oral": value, "eye-tilt-draw-1": "20"})
    page = client().post("/eye/", sent | {"eye-for": "draw-1"}).content.decode()
    tool = re.search(r'id="eye-scale-draw-1-([^"]+)"', whole(SYRINGE))
    assert tool is not None
    assert tool[1] == "syringe-1-oral"
    assert "Not accepted: " in words(page)
    assert "looks like" not in words(page)


def test_in_a_first_dilution_the_volume_made_up_to_turns_it_round() -> None:
    page = whole(DILUTED, **{f"eye-tilt-draw-1-{part}": "20" for part in (1, 2, 3)})
    stock, total, part = (words(fold(page, f"draw-1-{at}")) for at in (1, 2, 3))
    assert "more dose" in stock
    assert "less dose" in total
    assert "more dose" in part
    assert "of albuterol in place of 0.15 mg" in stock


def test_nothing_here_changes_the_plan() -> None:
    plain = whole(SYRINGE)
    moved = whole(SYRINGE, **{"eye-tilt-draw-1": "40", "eye-air-draw-1": "0.1"})

    def without_folds(page: str) -> str:
        page = re.sub(r'<details class="fold eye".*?</details>', "", page, flags=re.DOTALL)
        return re.sub(r'name="csrfmiddlewaretoken" value="[^"]*"', "", page)

    assert without_folds(plain) == without_folds(moved)
    assert '<details class="fold eye" id="draw-1-eye">' in plain
    assert '<details class="fold eye" id="draw-1-eye" open>' in moved


def test_a_plan_that_is_gone_has_no_eye() -> None:
    for order in ("albuterol by nebulizer", "albuterol 2 mg QD with pixie dust", "levalbuterol 0.63 mg by nebulizer"):
        assert "The plan has changed: work it out again." in words(seen(order))


def test_every_line_of_sight_stays_in_its_picture_and_on_its_ray() -> None:
    from drawndose.department.web.eye_sketch import FAR, LEVEL, OUTSIDE, sketch
    from drawndose.science.parallax import Grows

    for tilt in range(-60, 61):
        drawn = sketch(float(tilt), 1.5, Grows.DOWN)
        x, y, meets = float(drawn.eye_x), float(drawn.eye_y), float(drawn.meets_y)
        assert OUTSIDE - FAR <= x < OUTSIDE
        assert 0 < y < 240
        assert (LEVEL - meets) * tilt >= 0
        if tilt:
            from math import radians, tan

            assert (meets - y) / (OUTSIDE - x) == pytest.approx(tan(radians(tilt)), abs=0.01)


def test_the_page_calls_no_value_an_amount_that_it_is_not() -> None:
    from drawndose.department.web.eyes import read_air

    assert read_air(".05", Fraction(1)) == Fraction(1, 20)
    assert read_air("4 mm across", Fraction(1)) == Fraction(34, 1000)
