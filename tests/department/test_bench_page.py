"""The bench page as a browser without scripts sees it."""

import re

import pytest

from tests.pages import BOTTLE, client, form, post, words

DROPPER = "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours"


def numbers(page: str) -> list[str]:
    return [words(found) for found in re.findall(r'<p class="number">(.*?)</p>', page, re.DOTALL)]


def test_empty_bench_says_what_to_do_and_draws_nothing() -> None:
    page = client().get("/").content.decode()
    assert "Nothing on the bench yet" in page
    assert "does not prescribe" in page
    assert 'role="img"' not in page


def test_dropper_bottle_gives_the_number_the_mark_and_the_caution_text() -> None:
    page = post(DROPPER, [BOTTLE], cup="cup-6")
    assert numbers(page) == ["0.5 mL"]
    assert "the lowest point of the curve at the 0.5 mL mark" in words(page)
    assert "Ready to draw up" in page
    assert "it does not replace the product label, the order, local policy, the pharmacy" in words(page)


def test_whole_unit_dose_says_so_instead_of_a_volume() -> None:
    page = post("levalbuterol 0.63 mg by nebulizer three times daily")
    assert numbers(page) == ["1 whole unit dose"]
    assert "scale-drawing" not in page


def test_five_ampoules_are_five_outlines_and_one_number() -> None:
    page = post("epinephrine 5 mg by nebulizer once", cup="cup-6")
    assert numbers(page) == ["5 mL"]
    assert page.count('<g class="container">') == 5
    assert "out of 5 ampoules" in words(page)


def test_first_dilution_never_calls_its_volume_a_volume_of_the_drug_itself() -> None:
    page = post("albuterol 0.15 mg by nebulizer to 3 mL", [BOTTLE], cup="cup-6")
    assert "of a first dilution of albuterol 0.5 % solution" in words(page)


def test_two_fills_are_two_drawings() -> None:
    page = post("albuterol 2.5 mg and ipratropium 0.25 mg by nebulizer every 6 hours", cup="cup-6")
    assert "in 2 fills: 1 mL, then 0.25 mL" in words(page)
    assert page.count("Fill 1 of 2:") == page.count("Fill 2 of 2:") == 1


def test_error_of_the_dose_and_of_the_diluent_stand_apart() -> None:
    said = words(post(DROPPER, [BOTTLE], cup="cup-6"))
    assert "The dose may be off by up to 15 % (0.075 mL in 0.5 mL)." in said
    assert "That changes fill, time and concentration, not the dose." in said
    part = words(post("colistimethate base activity 30 mg by nebulizer to 3 mL with normal saline", cup="cup-6"))
    assert "may be off by up to about 11 % (0.023 mL in 0.4 mL, with up to 0.095 mL of the powder's liquid)." in part


def test_stop_shows_no_drawing_and_no_number() -> None:
    page = post("albuterol 2.5 mg undiluted by nebulizer", [BOTTLE], cup="cup-6")
    assert page.count('class="finding stop"') == 1
    assert numbers(page) == []
    assert 'role="img"' not in page
    assert "Ways out" in page


def test_refused_order_keeps_every_word_and_lists_every_fault() -> None:
    typed = "albuterol 2.5 mg by nebulizer QD with pixie <dust> in 5cc"
    page = post(typed)
    assert "pixie &lt;dust&gt; in 5cc</textarea>" in page
    said = words(page)
    assert "Not accepted, so there is no plan" in said
    for rule in ("QD is read as QID", "cc is read as 00 or U"):
        assert rule in said
    assert "autofocus" in page
    assert 'class="piece piece-not"' in page
    assert 'role="img"' not in page


def test_reading_shows_every_piece_as_it_was_read() -> None:
    said = words(post(DROPPER))
    for piece in ("drug albuterol", "dose 2.5 mg", "fill made up to 3 mL", "frequency every 4 hours"):
        assert piece in said


@pytest.mark.parametrize(
    ("typed", "answer", "then"),
    [
        (
            "albuterol 2.5 mg in 3 mL saline by nebulizer",
            "fill|made up to 3 mL|",
            "albuterol 2.5 mg made up to 3 mL with saline by nebulizer",
        ),
        ("albuterol 2.5 mg, to 3 mL", "route|by nebulizer|", "albuterol 2.5 mg, to 3 mL, by nebulizer"),
        (
            "colistimethate 75 mg by nebulizer",
            "drug|colistimethate sodium|colistimethate: counted as what?",
            "colistimethate sodium 75 mg by nebulizer",
        ),
        ("albuterol 2.5-5 mg by nebulizer", "dose|5 mg|Which dose of albuterol?", "albuterol 5 mg by nebulizer"),
        (
            "ipratropium 0.5 mg and albuterol 2.5-5 mg by nebulizer",
            "dose|2.5 mg|Which dose of albuterol?",
            "ipratropium 0.5 mg and albuterol 2.5 mg by nebulizer",
        ),
    ],
)
def test_option_of_a_question_goes_into_the_order_where_it_belongs(typed: str, answer: str, then: str) -> None:
    page = post(typed, answer=answer)
    assert f"\n{then}</textarea>" in page


@pytest.mark.parametrize(
    ("typed", "answer"),
    [
        ("ipratropium 0.25-0.5 mg and albuterol 2.5-5 mg by nebulizer", "dose|2.5 mg|Which dose of albuterol?"),
        ("ipratropium 0.5 mg and albuterol 0.5 mL by nebulizer", "strength|0.5 %|"),
        ("ipratropium and albuterol by nebulizer", "dose|2.5 mg|"),
        ("albuterol 10 mg/day and budesonide 1 mg/day by nebulizer", "dose|divided in 2 doses|"),
    ],
)
def test_answer_that_could_reach_another_drug_changes_nothing(typed: str, answer: str) -> None:
    page = post(typed, answer=answer)
    assert f"\n{typed}</textarea>" in page
    assert 'name="answer" value="dose' not in page
    assert 'name="tell-dose' not in page
    assert 'name="tell-strength' not in page
    assert "Change it in the order itself" in page


def test_strength_that_was_asked_for_is_typed_for_the_only_drug() -> None:
    page = post(
        "albuterol 0.5 mL by nebulizer, to 3 mL", [BOTTLE], go="tell", **{"tell-strength-1": "0.5 %"}, cup="cup-6"
    )
    assert numbers(page) == ["0.5 mL"]


def test_typed_answer_goes_into_the_order_only_when_something_was_pressed() -> None:
    order = "racepinephrine 2.25 % 0.05 mL/kg max 0.5 mL by nebulizer, to 3 mL"
    box = {"tell-weight-1": "8 kg"}
    assert "weight 8 kg</textarea>" in post(order, go="tell", **box)
    assert "weight" not in re.search(r"<textarea.*?</textarea>", post(order, **box), re.DOTALL)[0]  # type: ignore[index]


def test_equivalence_is_chosen_by_its_id_and_kept() -> None:
    order = "colistimethate 1 million units by nebulizer twice daily to 3 mL with normal saline"
    asked = post(order)
    ids = re.findall(r'name="take-equivalence" value="([^"]+)"', asked)
    assert len(ids) >= 2
    page = post(order, **{"take-equivalence": ids[0]})
    assert f'name="equivalence" value="{ids[0]}"' in page
    assert "Waiting for an answer" not in page


def line_form(order: str) -> dict[str, object]:
    page = post(order, [BOTTLE], cup="cup-6")
    line = re.search(r'name="take-line" value="([^"]+)"', page)
    bound = re.search(r'name="order-as-read" value="([^"]+)"', page)
    assert line is not None
    assert bound is not None
    return form(order, [BOTTLE], cup="cup-6") | {"take-line": line[1], "order-as-read": bound[1]}


def test_line_is_chosen_and_said() -> None:
    page = client().post("/", line_form("albuterol 1.03 mg by nebulizer to 3 mL")).content.decode()
    assert numbers(page) == ["0.2 mL"]
    assert "the accepted line is 0.2 mL" in words(page)


def test_line_offered_is_never_further_away_than_the_settings_allow() -> None:
    page = post("albuterol 1.03 mg by nebulizer to 3 mL", [BOTTLE], cup="cup-6")
    assert "45.6" not in page


def test_accepted_line_does_not_outlive_its_order() -> None:
    first = line_form("albuterol 1.03 mg by nebulizer to 3 mL")
    kept = {"line": first.pop("take-line"), "line-for": first.pop("order-as-read")}
    page = client().post("/", first | kept | {"order": "albuterol 1.02 mg by nebulizer to 3 mL"}).content.decode()
    assert "no longer counts" in words(page)
    assert numbers(page) == []


def test_bench_can_be_made_smaller() -> None:
    said = words(post("albuterol 2.5 mg by nebulizer, to 3 mL", keep=[], cup="cup-6"))
    assert "Put a container of albuterol on the bench." in said


def test_new_drug_brings_its_own_containers_ticked() -> None:
    before = form("albuterol 2.5 mg by nebulizer", keep=[])
    page = client().post("/", before | {"order": "levalbuterol 0.63 mg by nebulizer"}).content.decode()
    assert numbers(page) == ["1 whole unit dose"]


def test_counts_and_rests_that_cannot_be_read_are_faults_at_their_boxes() -> None:
    more = {f"count-{BOTTLE}": "two", f"left-{BOTTLE}": "25 mL"}
    page = post("albuterol 2.5 mg by nebulizer", **more)
    assert 'value="two"' in page
    assert 'value="25 mL"' in page
    boxes = re.findall(r'id="fault-((?:count|left)-[^"]+)">\s*<p>', page)
    assert boxes == [f"count-{BOTTLE}", f"left-{BOTTLE}"]


def test_too_few_containers_lose() -> None:
    said = words(post("albuterol 5 mg by nebulizer", **{"count-albuterol-2.5mg-3ml:0": "1"}))
    assert "needs 2 of them" in said


def test_order_in_fields_is_read_and_its_faults_stand_at_their_fields() -> None:
    fields = {"field-drug": "albuterol", "field-dose": "2.5 mg", "field-fill_rule": "to a total", "field-fill": "3 mL"}
    page = post("", **fields, **{"field-route": "by nebulizer", "field-frequency": "every 4 hours"})
    assert numbers(page) == ["1 whole unit dose"]
    wrong = post("", **fields, **{"field-weight": "17 lb"})
    assert re.search(r'id="fault-weight">\s*<p>', wrong)
    assert 'href="#field-weight"' in wrong
    assert 'value="17 lb"' in wrong


def test_order_said_twice_is_refused() -> None:
    assert "one of them must be empty" in words(post(DROPPER, **{"field-drug": "albuterol"}))


def test_cup_of_the_order_is_used_and_a_different_one_is_refused() -> None:
    order = "albuterol 2.5 mg by nebulizer in a 6 mL cup, made up to 3 mL"
    assert "6 mL nebulizer cup: the fill stands near 3 mL." in words(post(order))
    assert "names a 6 mL cup and the bench another one" in words(post(order, cup="cup-8"))


def test_examples_make_plans() -> None:
    page = client().get("/").content.decode()
    examples = re.findall(r'name="example" value="([^"]+)"', page)
    assert len(examples) == 4
    for example in examples:
        assert "Ready to draw up" in post("", example=example), example


def test_at_most_three_cautions_are_open() -> None:
    page = post("terbutaline 1 mg and levalbuterol 1.25 mg by nebulizer", cup="cup-6")
    cautions = page.split('class="cautions"')[1].partition("more caution")
    assert cautions[0].count('one-line caution"') == 3
    assert cautions[2].split("notes-fold")[0].count('one-line caution"') >= 1


def test_a_finding_is_one_line_until_it_is_opened_and_stands_once() -> None:
    page = post("epinephrine 5 mg by nebulizer once")
    lines = re.findall(r'<details class="[^"]*one-line caution"><summary>(.*?)</summary>', page, flags=re.DOTALL)
    assert len(lines) == len(set(lines)) >= 3
    assert not any("Do:" in line or "From:" in line for line in lines)
    assert '<span class="short">: many containers</span> <span class="told">One dose opens 5 of ' in page
    assert re.search(r'<details class="[^"]*notes-fold"><summary>.*?[0-9] notes?</summary>', page, flags=re.DOTALL)


def test_beside_a_stop_every_caution_is_folded() -> None:
    page = post("albuterol 2.5 mg and aztreonam 75 mg by nebulizer")
    assert re.search(r'<div class="cautions">\s*<details class="fold on-paper"><summary>.*?1 caution</summary>', page)
    assert page.count("is labelled with its own device only") == 1


def test_where_no_finding_stops_it_the_reasons_stand_open() -> None:
    few = post("tobramycin sulfate 300 mg by nebulizer", cup="cup-6")
    assert 'class="finding stop"' not in few
    assert '<details class="fold" open><summary>Ways not taken' in few
    assert "no stated ratio leads there from tobramycin sulfate" in words(few)
    stopped = post("albuterol 2.5 mg by nebulizer, undiluted", [BOTTLE], cup="cup-6")
    assert '<details class="fold"><summary>Ways not taken' in stopped


def test_what_a_stop_says_to_do_is_said_once() -> None:
    page = words(post("albuterol 100 mg by nebulizer"))
    assert page.count("Ask the prescriber; only a changed order goes on.") == 1
    assert "Ask the pharmacy." in page
    assert "Also open" not in page


def test_measured_dose_says_how_sure_it_is_and_a_whole_container_does_not() -> None:
    page = words(post(DROPPER, [BOTTLE], cup="cup-6"))
    assert "How sure the dose is" in page
    assert "2.5 mg is ordered; with 95 % it is between about" in page
    assert "How sure the dose is" not in words(post("levalbuterol 0.63 mg by nebulizer three times daily"))
