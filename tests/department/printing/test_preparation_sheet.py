"""The preparation sheet: all that the plan says, the person on every page, true millimetres, a box for each step."""

from collections import Counter
from dataclasses import replace

import pypdfium2.raw as pdfium
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from drawndose.bench.findings import HOUSE, Finding, Level, Waiver
from drawndose.bench.in_hand import InHand
from drawndose.bench.order import read_order
from drawndose.bench.plans import Plan, Status, plan
from drawndose.department.printing import (
    A4,
    LETTER,
    Paper,
    Printed,
    preparation_sheet,
    preparation_sheets,
    sheet_of_plan,
)
from drawndose.department.printing import specimens as made_up
from drawndose.department.printing.preparation_sheet import CAUTION, RULE, SCALED, PreparationSheet
from drawndose.quantities import Refused
from drawndose.reference import How, Origin, load
from tests.bench.benches import ready
from tests.department.printing.reading import (
    MM,
    bare,
    codes,
    furthest_apart,
    pages,
    printed_pages,
    shown,
    sides,
    signs,
    told,
)

BOOK = load()
PERSON, PRINTED = made_up.PERSON, "Printed 25 Nov 2026 14:05 by Ana Sample RT"


def content(made: Plan | None = None, **more: str) -> PreparationSheet:
    found = made or made_up.the_plan()
    return sheet_of_plan(found, made_up.the_lines(found), person=PERSON, printed=PRINTED, **more)


def planned(order: str, *containers: str, tools: tuple[str, ...] = (), last: bool = True) -> Plan:
    in_hand = [
        InHand(presentation=one, pack=one.packs[-1 if last else 0]) for one in map(BOOK.presentation, containers)
    ]
    measures = [BOOK.instrument(one) for one in tools] or list(BOOK.instruments)
    found = plan(read_order(order, catalogue=BOOK), containers=in_hand, instruments=[*measures, *BOOK.cups[:1]])
    assert found.status is Status.READY, (found.questions, found.findings)
    return found


SHEETS = [
    pytest.param(content(code=made_up.the_cup().code), paper, id=f"{name}, {paper.name}")
    for name in ("albuterol",)
    for paper in (A4, LETTER)
]


@pytest.mark.parametrize(("sheet", "paper"), SHEETS)
def test_it_is_a_sheet_of_paper_with_everything_on_it(sheet: PreparationSheet, paper: Paper) -> None:
    printed = preparation_sheet(sheet, paper)
    assert set(sides(printed.pdf)) == {(paper.width, paper.height)}
    assert printed.size == paper
    text = bare("".join(told(printed.pdf)))
    untold = {one.source for one in sheet.findings if one.level == "Note"}  # a note's source stands on the page alone
    for said in {*printed.words} - untold:
        assert bare(said) in text or all(bare(word) in text for word in said.split()), said
    assert len(printed.pages) == len(sides(printed.pdf))


@pytest.mark.parametrize(("sheet", "paper"), SHEETS)
def test_every_page_names_the_person_its_number_and_the_rule(sheet: PreparationSheet, paper: Paper) -> None:
    printed = preparation_sheet(sheet, paper)
    found = told(printed.pdf)
    for at, text in enumerate(found, start=1):
        for said in (PERSON, sheet.order, sheet.code, PRINTED, CAUTION, RULE, SCALED, f"page {at} of {len(found)}"):
            assert bare(said) in bare(text), said


def test_a_plan_of_an_ordinary_dose_is_one_page_and_long_content_goes_on() -> None:
    for paper in (A4, LETTER):
        one = preparation_sheet(content(), paper)
        assert len(one.pages) == 1, "shorten what the sheet says, or tell in labels.md that it is two pages now"
    longer = replace(content(), limits=("One more limit that is kept in mind.",) * 60)
    several = preparation_sheet(longer)
    assert len(several.pages) > 1
    assert bare("".join(told(several.pdf))).count(bare(longer.limits[0])) == 60


@pytest.mark.parametrize(
    ("limits", "count", "points"), [(1, 1, 9.5), (46, 1, 9.0), (49, 1, 8.5), (52, 1, 8.0), (56, 2, 9.5)]
)
def test_the_type_is_the_largest_that_needs_no_page_more(limits: int, count: int, points: float) -> None:
    """Read off by trial: with more to say the type first gets smaller, then there is another page, and it is large again."""
    sheet = PreparationSheet(
        person=PERSON, order="as written", doses=("albuterol 2.5 mg in 3 mL",), facts=(("Take", "a bottle"),), drawings=(),
        steps=(), label=(("dose", "2.5 mg"),), limits=("One more limit.",) * limits, printed=PRINTED,
    )  # fmt: skip
    found = list(signs(preparation_sheet(sheet).pdf))
    assert len(found) == count
    assert (
        Counter(round(one.points, 1) for page in found for one in page if one.says == "O").most_common(1)[0][0]
        == points
    )


@pytest.mark.parametrize(("sheet", "paper"), SHEETS)
def test_nothing_is_smaller_than_can_be_read_and_the_dose_is_the_largest(sheet: PreparationSheet, paper: Paper) -> None:
    for page in signs(preparation_sheet(sheet, paper).pdf):
        assert all(one.top >= 6 and one.bottom <= paper.height - 6 for one in page), (
            "a printer leaves some millimetres free"
        )
        assert all(one.left >= 11.5 and one.right <= paper.width - 11.5 for one in page)
        assert not [one for one in page if one.says.isdigit() and one.bottom - one.top < 8 * 0.7 / MM]
    text = {one.points for page in signs(preparation_sheet(replace(sheet, drawings=()), paper).pdf) for one in page}
    assert min(text) >= 8
    assert max(text) == 15


def test_the_words_of_a_drawing_are_no_smaller_than_the_others() -> None:
    """By ink, since a drawing has units of its own: the x of its least words is as high as that of 8 points."""
    (page,) = signs(preparation_sheet(content()).pdf)
    least = [one.bottom - one.top for one in page if one.says == "v" and one.points == 14.5]
    assert least
    assert min(least) >= 0.55 * 8 / MM * 0.95


def paths(printed: Printed, page: int = 0) -> list[tuple[float, float, float, float]]:
    """Left, bottom, right and top of every drawn path of a page with its stroke, mm from the lower left corner."""
    found = list(pages(printed.pdf))[page].get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH], max_depth=4)
    return [tuple(side / MM for side in one.get_bounds()) for one in found]  # type: ignore[misc]


@pytest.mark.parametrize(("sheet", "paper"), SHEETS)
def test_the_rule_is_fifty_true_millimetres_on_every_page(sheet: PreparationSheet, paper: Paper) -> None:
    """The middles of its marks are 10 mm apart, from 0 to 50."""
    printed = preparation_sheet(sheet, paper)
    for at in range(len(printed.pages)):
        marks = [one for one in paths(printed, at) if one[3] < 20 and one[2] - one[0] < 0.6 and one[3] - one[1] > 1]
        middles = sorted((left + right) / 2 for left, _, right, _ in marks)
        assert [middle - middles[0] for middle in middles] == pytest.approx([0, 10, 20, 30, 40, 50], abs=0.01)


def test_a_drawing_of_life_size_is_of_life_size() -> None:
    """The numerals 0 and 3 of the 3 mL syringe stand as far apart as its scale is long."""
    tool = BOOK.instrument("syringe-3")
    assert tool.scale_length is not None
    (page,) = signs(preparation_sheet(content()).pdf)
    numerals = [one for one in page if one.points == 17.0 and one.left > 180 and one.says.isdigit()]
    assert (numerals[0].says, numerals[-1].says) == ("0", "3")
    first, last = ((one.top + one.bottom) / 2 for one in (numerals[0], numerals[-1]))
    assert last - first == pytest.approx(float(tool.scale_length), abs=0.1)


def test_each_step_has_its_box_and_a_grave_one_its_mark() -> None:
    sheet = content()
    stroke = 0.7 / MM
    sides_of_boxes = [(right - left, top - bottom) for left, bottom, right, top in paths(preparation_sheet(sheet))]
    boxes = [one for one in sides_of_boxes if one == pytest.approx((3.2 + 2 * stroke,) * 2, abs=0.01)]
    assert len(boxes) == len(sheet.steps)
    (text,) = told(preparation_sheet(sheet).pdf)
    for step in sheet.steps:
        assert bare(f"{step.number}{' !' if step.critical else ''}{step.says}") in bare(text)


def test_the_code_is_read_back_from_print_and_preview() -> None:
    code = made_up.the_cup().code
    printed = preparation_sheet(content(code=code))
    for picture in (*printed_pages(printed.pdf, 6), shown(printed.png)):
        assert [one.text for one in codes(picture)] == [code]
    assert codes(shown(preparation_sheet(content()).png)) == []


def test_the_preview_is_what_prints_in_black() -> None:
    printed = preparation_sheet(content(code=made_up.the_cup().code), LETTER)
    for page, preview in zip(printed_pages(printed.pdf, 5), printed.pages, strict=True):
        picture = shown(preview)
        assert furthest_apart(page, picture) < 48
        colours = picture.getcolors(picture.width * picture.height)
        assert colours is not None
        assert all(isinstance(one, tuple) and len(set(one)) == 1 for _, one in colours)


def test_findings_say_their_level_as_a_word_with_source_and_what_to_do() -> None:
    read = Origin(source="tjc-npg-labelling-2026", at="NPG.14.03.01", how=How.READ)
    unknown = Origin(source="nowhere", at="page 1", how=How.SECONDARY)
    known = {"rule": "x", "says": "0.5 mL beside 5 mL.", "do": "Look again.", "waiver": Waiver.NOBODY}
    told_so = tuple(
        Finding(level=level, origin=origin, **known)  # type: ignore[arg-type]
        for level, origin in ((Level.STOP, read), (Level.CAUTION, HOUSE), (Level.NOTE, unknown))
    )
    sheet = content(replace(made_up.the_plan(), findings=told_so))
    assert [one.level for one in sheet.findings] == ["Stop", "Caution", "Note"]
    title = BOOK.source("tjc-npg-labelling-2026")
    assert title is not None
    assert [one.source for one in sheet.findings] == [
        f"{title.title}, NPG.14.03.01",
        "common practice",
        "nowhere, page 1 (secondary)",
    ]
    text = bare("".join(told(preparation_sheet(sheet).pdf)))
    for one in sheet.findings:
        source = "" if one.level == "Note" else f" From: {one.source}"
        assert bare(f"{one.level} {one.says} Do: {one.do}{source}") in text


# ------------------------------------------------------------------------------------------------------ out of a plan


def test_every_volume_that_is_measured_is_drawn_and_says_its_size() -> None:
    sheet = content()
    assert [figure.kind for figure in sheet.drawings] == ["dropper", "life-size"]
    assert sheet.drawings[0].words == ("In proportion, not life size: how long its scale is, is not known.",)
    assert "27 mm long" in sheet.drawings[1].words[0].replace("\u00a0", " ")
    facts = dict(sheet.facts)
    assert facts["Draw"].startswith("0.5 mL with the calibrated dropper")
    assert facts["Add"].startswith("2.5 mL of sodium chloride 0.9 %, with the 3 mL syringe")
    assert facts["May be off"] == "0.075 mL either way by the instrument: 15 % of the dose"
    assert facts["In the cup"] == "3 mL in all: albuterol about 0.833 mg per mL"


def test_a_first_dilution_shows_its_three_volumes() -> None:
    made = ready("albuterol 0.15 mg by nebulizer to 3 mL", made_up.BOTTLE)
    assert made.takes[0].first_dilution is not None
    sheet = content(made)
    names = [name for name, _ in sheet.facts]
    assert names[:4] == ["Take", "Draw of the drug", "Make up to", "Into the cup"]
    assert "May be off" not in names
    assert [figure.kind for figure in sheet.drawings] == ["life-size"] * 4
    assert preparation_sheet(sheet).pages


def test_a_unit_that_is_emptied_whole_has_no_drawing_and_no_diluent() -> None:
    made = planned("albuterol 2.5 mg by nebulizer, once, undiluted", "albuterol-2.5mg-3ml")
    sheet = content(made)
    assert sheet.drawings == ()
    assert {"Draw", "Add"} & {name for name, _ in sheet.facts} == set()
    assert any(one.startswith("Start giving at once") and "by 2" not in one for one in sheet.limits), (
        "nobody said when it began"
    )
    (text,) = told(preparation_sheet(sheet).pdf)
    assert "Draws" not in text


def test_a_diluent_says_how_much_of_it_is_measured() -> None:
    both, whole = (
        content(
            planned(
                f"albuterol 2.5 mg by nebulizer, made up to {fill}, once", made_up.BOTTLE, made_up.SALINE, last=False
            )
        )
        for fill in ("6 mL", "3.5 mL")
    )
    assert dict(both.facts)["Add"].startswith("5.5 mL of sodium chloride 0.9 %, 2.5 mL of it with the 2.5 mL syringe")
    assert dict(whole.facts)["Add"] == "3 mL of sodium chloride 0.9 %"
    assert [figure.kind for figure in whole.drawings] == ["dropper"]


def test_only_what_a_plan_has_is_told() -> None:
    made = made_up.the_plan()
    less = content(replace(made, fill=None, limit=None, leftovers=(), second_reader=("a child", "a first dilution")))
    assert [name for name, _ in less.facts] == ["Take", "Draw", "May be off", "Second reader"]
    assert dict(less.facts)["Second reader"] == "a child; a first dilution"
    assert less.limits == ()
    assert "Limits" not in "".join(told(preparation_sheet(less).pdf))


def test_a_plan_that_is_not_ready_has_no_sheet() -> None:
    with pytest.raises(Refused, match="nothing may be drawn up"):
        content(replace(made_up.the_plan(), status=Status.CHOOSE))


# ---------------------------------------------------------------------------------------------------- odd and long texts


@pytest.mark.parametrize("name", ['#panic("x") ] $', "Dvořáková, Łucja", "= *a* _b_ `c` @d <e>"])
def test_an_odd_name_prints_as_it_is_on_every_page(name: str) -> None:
    for text in told(preparation_sheet(replace(content(), person=name), LETTER).pdf):
        assert bare(name) in bare(text)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    said=st.text(
        st.characters(min_codepoint=0x20, max_codepoint=0x17F, exclude_categories=["Cc", "Cf"]), min_size=1, max_size=14
    )
)
def test_any_text_prints_as_it_is(said: str) -> None:
    sheet = content()
    odd = replace(
        sheet, limits=(said,), facts=((said[:6], said),), label=((said[:6], said),),
        steps=(replace(sheet.steps[0], says=said),), drawings=(),
    )  # fmt: skip
    text = bare("".join(told(preparation_sheet(odd).pdf)))
    assert text.count(bare(said)) >= 4


def test_what_cannot_be_printed_is_refused_by_its_place() -> None:
    sheet = content()
    odd = replace(
        sheet, person="A\nB", limits=("病",), steps=(replace(sheet.steps[2], says="\x07"),), facts=(("\u200b", "x"),)
    )
    with pytest.raises(Refused) as refused:
        preparation_sheet(odd)
    assert [fault.field for fault in refused.value.faults] == ["person", "fact 1, its name", "step 3", "limit 1"]


def test_what_must_be_there_is_missed() -> None:
    with pytest.raises(Refused) as refused:
        preparation_sheet(replace(content(), person=" ", order="", doses=(), printed=""))
    assert [fault.field for fault in refused.value.faults] == ["person", "order", "dose", "printed"]


def test_a_long_word_takes_the_smaller_type() -> None:
    word = "0" * 24
    (page,) = signs(preparation_sheet(replace(content(), limits=(word,), steps=(), drawings=())).pdf)
    assert {round(one.points, 1) for one in page if one.points < 10} == {8, 9.2}, "headings are a little larger"


@pytest.mark.parametrize("change", [{"limits": ("M" * 40,)}, {"person": "M" * 60}, {"doses": ("M" * 50,)}])
def test_a_word_longer_than_its_column_is_refused(change: dict[str, object]) -> None:
    with pytest.raises(Refused, match="its longest word needs"):
        preparation_sheet(replace(content(), **change))  # type: ignore[arg-type]


def test_many_sheets_are_one_file_and_each_is_numbered_by_itself() -> None:
    long = replace(
        content(), person="Sample, Bea, born 06 Dec 1971, no. 77", limits=("One more limit that is kept.",) * 60
    )
    seen: list[int] = []
    pdf = preparation_sheets([content(), long, content()], seen=seen.append)
    assert seen == [1, 2, 3]
    alone = [told(preparation_sheet(one).pdf) for one in (content(), long, content())]
    found = told(pdf)
    assert [bare(text) for text in found] == [bare(text) for one in alone for text in one]
    assert ["page 1 of 2" in text.replace("\u00a0", " ") for text in found] == [False, True, False, False]


def test_what_one_of_many_sheets_lacks_is_told_with_its_number_and_none_is_nothing() -> None:
    with pytest.raises(Refused) as met:
        preparation_sheets([content(), replace(content(), person=" "), replace(content(), order="ordre \u4e00")])
    assert [fault.field for fault in met.value.faults] == ["sheet 2, person", "sheet 3, order"]
    with pytest.raises(Refused, match="nothing to print"):
        preparation_sheets([])
