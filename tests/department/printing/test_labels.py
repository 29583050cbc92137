"""Every label at every size: its code read back, its text out of the PDF compared, nothing too small and nothing outside."""

from dataclasses import fields, replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from drawndose.bench.labels import TO_WRITE
from drawndose.bench.preparation import Preparation
from drawndose.bench.safeguards.labelling import ALWAYS, FOR_ANOTHER, label_incomplete
from drawndose.department.printing import (
    SIZES,
    CupLabel,
    OpenedLabel,
    Printed,
    ShelfLabel,
    Size,
    cup,
    cup_label,
    cup_of_plan,
    opened,
    opened_label,
    print_label,
    shelf,
    shelf_label,
)
from drawndose.department.printing import specimens as made_up
from drawndose.department.printing.label import FOR_INHALATION, Label, Line
from drawndose.quantities import Refused
from tests.department.printing.reading import MM, bare, codes, furthest_apart, printed_pages, shown, sides, signs, told

LABELS = {
    "cup": cup(made_up.the_cup()),
    "cup for itself": cup(made_up.FOR_ITSELF),
    "two drugs": cup(made_up.TWO_DRUGS),
    "running": cup(replace(made_up.FOR_ITSELF, runs="10 mg per h continuously")),
    "opened": opened(made_up.OPENED),
    "opened for all": opened(replace(made_up.OPENED, owner="", kept="in the refrigerator", for_inhalation=False)),
    "shelf": shelf(made_up.SHELF),
    "place": shelf(replace(made_up.SHELF, lot="", code="", notes=(), for_inhalation=False)),
}
FITTING = []
for _name, _label in LABELS.items():
    for _size in SIZES:
        try:
            FITTING.append(pytest.param(_label, print_label(_label, [_size]), id=f"{_name}, {_size.says}"))
        except Refused:
            continue


def test_every_kind_is_tried_and_every_size_is_used() -> None:
    assert {param.values[0].kind for param in FITTING} == {"cup", "opened container", "shelf"}
    assert {param.values[1].size for param in FITTING} == set(SIZES)
    assert {id(param.values[0]) for param in FITTING} == {id(label) for label in LABELS.values()}
    assert len(FITTING) < len(LABELS) * len(SIZES), "at least one is too long for a size"


@pytest.mark.parametrize(("label", "printed"), FITTING)
def test_the_page_is_the_label(label: Label, printed: Printed) -> None:
    assert isinstance(printed.size, Size)
    assert sides(printed.pdf) == [(printed.size.width, printed.size.height)]
    assert shown(printed.png).size == (printed.size.width * 8, printed.size.height * 8)


@pytest.mark.parametrize(("label", "printed"), FITTING)
def test_every_text_is_on_it_and_nothing_else(label: Label, printed: Printed) -> None:
    assert isinstance(printed.size, Size)
    (text,) = told(printed.pdf, turned=printed.size.turned)
    assert bare(text) == bare("".join(label.words))
    assert printed.words == label.words


@pytest.mark.parametrize(("label", "printed"), FITTING)
def test_nothing_is_too_small_and_the_first_line_is_the_largest(label: Label, printed: Printed) -> None:
    assert isinstance(printed.size, Size)
    (found,) = signs(printed.pdf)
    large = "".join(one.says for one in found if one.points >= 12)
    assert {one.points for one in found} == {printed.size.large, printed.size.text}
    assert printed.size.large >= 12
    assert printed.size.text >= 8
    assert sorted(large) == sorted(bare("".join(line.text for line in label.lines if line.large)))
    assert large


@pytest.mark.parametrize(("label", "printed"), FITTING)
def test_no_ink_leaves_the_label_and_none_covers_another(label: Label, printed: Printed) -> None:
    assert isinstance(printed.size, Size)
    (found,) = signs(printed.pdf)
    edge = printed.size.margin - 0.2  # an accent or the tail of a g stands out of its line by a hair
    assert min(min(one.left, one.top) for one in found) >= edge
    assert max(one.right for one in found) <= printed.size.width - edge
    assert max(one.bottom for one in found) <= printed.size.height - edge
    for at, one in enumerate(found):
        for other in found[at + 1 :]:
            over = min(one.right, other.right) - max(one.left, other.left)
            under = min(one.bottom, other.bottom) - max(one.top, other.top)
            assert over <= 0.25 or under <= 0.25, (one, other)


@pytest.mark.parametrize(("label", "printed"), FITTING)
def test_the_code_is_read_back_from_print_and_preview(label: Label, printed: Printed) -> None:
    for picture in (*printed_pages(printed.pdf, 12), *printed_pages(printed.pdf, 8), shown(printed.png)):
        found = [(one.text, one.symbology_identifier, one.format.name) for one in codes(picture)]
        assert found == ([(label.code, "]d1", "DataMatrix")] if label.code else [])


@pytest.mark.parametrize(("label", "printed"), FITTING)
def test_the_preview_is_what_prints(label: Label, printed: Printed) -> None:
    (page,) = printed_pages(printed.pdf, 8)
    assert furthest_apart(page, shown(printed.png)) < 48


@pytest.mark.parametrize(("label", "printed"), FITTING)
def test_it_is_black_on_white(label: Label, printed: Printed) -> None:
    for picture in (shown(printed.png), *printed_pages(printed.pdf, 8)):
        colours = picture.getcolors(picture.width * picture.height)
        assert colours is not None
        found = {one for _, one in colours if isinstance(one, tuple)}
        assert all(len(set(one)) == 1 for one in found)
        assert (255, 255, 255) in found
        assert min(one[0] for one in found) < 10  # a thin stroke need not fill a whole pixel


def test_a_preview_of_another_label_is_told_apart() -> None:
    """The comparison can fail: one letter more is seen."""
    one = print_label(cup(made_up.FOR_ITSELF), SIZES[:1])
    other = print_label(cup(replace(made_up.FOR_ITSELF, made_by="Ana Sample RTI")), SIZES[:1])
    assert furthest_apart(printed_pages(one.pdf, 8)[0], shown(other.png)) > 64


def test_a_code_that_is_smeared_is_not_read() -> None:
    """Reading back can fail: what is not there is not found."""
    picture = shown(cup_label(made_up.FOR_ITSELF).png)
    right = Image.new("RGB", (110, picture.height), "white")
    picture.paste(right, (picture.width - 110, 0))
    assert codes(picture) == []


# ------------------------------------------------------------------------------------------------ content by the rules


def test_a_cup_label_says_all_that_the_safeguard_asks() -> None:
    made = made_up.the_plan()
    lines = made_up.the_lines(made)
    started = made.limit.until if made.limit else None
    assert started is not None
    asked = Preparation(plan=made, started=started, now=started, prepared_by="ana", given_by="ben", label=lines)
    assert label_incomplete.check(asked) is None
    assert label_incomplete.check(replace(asked, label=made.label)) is not None, (
        "with dots in place of people it would speak"
    )
    (text,) = told(cup_label(made_up.the_cup()).pdf)
    for name in {*ALWAYS, *FOR_ANOTHER, "diluted with"} - {"route"}:
        (line,) = (line for line in lines if line.name == name)
        assert bare(line.text) in bare(text), name
    assert bare(FOR_INHALATION) in bare(text)
    assert bare("about 0.833 mg per mL") in bare(text), "strength per mL, in words"
    assert "/" not in text


def test_a_cup_label_of_two_drugs_names_each_strength() -> None:
    made = made_up.the_plan()
    (held,) = made.concentrations
    both = replace(made, concentrations=(held, ("ipratropium bromide", held[1])))
    content = cup_of_plan(both, made_up.the_lines(made), code="")
    assert content.strengths == ("albuterol about 0.833 mg per mL", "ipratropium bromide about 0.833 mg per mL")


def test_a_plan_without_a_label_makes_none() -> None:
    with pytest.raises(Refused) as refused:
        cup(cup_of_plan(made_up.the_plan(), (), code=""))
    assert [fault.field for fault in refused.value.faults] == ["dose"]
    with pytest.raises(Refused) as refused:
        cup(replace(made_up.FOR_ITSELF, prepared="", use_by="", made_by=" "))
    assert [fault.field for fault in refused.value.faults] == ["prepared", "use by"]


@pytest.mark.parametrize("person", ["", f"{TO_WRITE} born {TO_WRITE} no. {TO_WRITE}"])
def test_for_another_giver_the_person_must_stand_on_it(person: str) -> None:
    with pytest.raises(Refused, match="somebody else gives it"):
        cup(replace(made_up.the_cup(), person=person))
    assert cup(replace(made_up.the_cup(), person=person, for_another=False)).code


MUST = [
    *((made_up.OPENED, name) for name in ("name", "strength", "discard", "opened", "opened_by", "lot")),
    *((made_up.SHELF, name) for name in ("name", "strength", "container", "place")),
    *((made_up.FOR_ITSELF, name) for name in ("doses", "strengths", "prepared", "use_by", "made_by")),
]


@pytest.mark.parametrize(("content", "name"), MUST, ids=[f"{type(one).__name__}.{name}" for one, name in MUST])
def test_a_part_that_must_be_there_is_missed_by_its_name(
    content: CupLabel | OpenedLabel | ShelfLabel, name: str
) -> None:
    empty = type(getattr(content, name))()
    with pytest.raises(Refused) as refused:
        {CupLabel: cup_label, OpenedLabel: opened_label, ShelfLabel: shelf_label}[type(content)](
            replace(content, **{name: empty})  # type: ignore[arg-type]
        )
    (fault,) = refused.value.faults
    assert fault.field.replace(" ", "_") == name.removesuffix("s")
    assert "label says this" in fault.rule


# -------------------------------------------------------------------------------------------------- long and odd texts


def test_a_long_content_takes_the_larger_label_and_says_why() -> None:
    short, long = cup_label(made_up.FOR_ITSELF), cup_label(made_up.TWO_DRUGS)
    assert (short.size, short.too_small) == (SIZES[0], ())
    assert long.size == SIZES[2]
    assert [one.split(":")[0] for one in long.too_small] == ["57 x 32 mm", "25 x 67 mm"]
    assert long.too_small[0].endswith("mm of height, and there are 30.0 mm")


def test_what_no_label_holds_is_refused_with_what_each_lacked() -> None:
    with pytest.raises(Refused) as refused:
        cup_label(replace(made_up.the_cup(), person="Model, Dora " * 60))
    assert [fault.came for fault in refused.value.faults] == [size.says for size in SIZES]
    assert all("of height, and there are" in fault.rule for fault in refused.value.faults)


def test_a_word_that_is_longer_than_the_label_is_never_cut() -> None:
    person = f"{'Mo' * 14}, born 05 Nov 1961"
    taken = cup_label(replace(made_up.the_cup(), person=person))
    assert bare(person) in bare(told(taken.pdf)[0])
    assert "its longest word needs" in taken.too_small[0]
    with pytest.raises(Refused, match="its longest word needs"):
        cup_label(replace(made_up.the_cup(), person="Mo" * 60))


def test_without_a_size_nothing_is_printed() -> None:
    with pytest.raises(Refused, match="no size of label is set"):
        cup_label(made_up.FOR_ITSELF, [])


ODD = [
    '#import "@preview/x:0.1.0": *',
    '#read("/etc/passwd")',
    "] #panic() [",
    "$x^2$ *b* _i_ `r` ~ -- --- ... \\",
    "<a@b> @c // d /* e */ = f",
    "\"q\" 's' “t” </svg> &amp; %00 {} \\u{41}",
    "Łucja Dvořáková-Nguyễn",
    "Ольга Ευγενία",
    "fi fl ffi",
    "e\u0301a\u0308",
]


@pytest.mark.parametrize("name", ODD)
def test_an_odd_name_prints_as_it_is(name: str) -> None:
    label = cup(replace(made_up.the_cup(), person=name))
    (text,) = told(print_label(label, SIZES[-1:]).pdf)
    assert bare(text) == bare("".join(label.words))


@pytest.mark.parametrize("name", ["A\nB", "A\x00", "A\u202eB", "病人", "\ud800"])
def test_what_cannot_be_printed_is_refused_at_its_field(name: str) -> None:
    for content, field in ((made_up.the_cup(), "person"), (made_up.OPENED, "owner")):
        make = cup_label if isinstance(content, CupLabel) else opened_label
        with pytest.raises(Refused) as refused:
            make(replace(content, **{field: name}))  # type: ignore[arg-type, operator]
        (fault,) = refused.value.faults
        assert (fault.field, fault.rule[:21]) == (field, "paper has no sign for")


LETTERS = st.text(st.characters(max_codepoint=0x24F), min_size=1, max_size=40)
ANY = st.one_of(LETTERS, st.text(max_size=30), st.lists(st.sampled_from(ODD), min_size=1, max_size=3).map(" ".join))


def tried(content: CupLabel) -> Printed | None:
    """What is printed, or None where it is refused: for its own two texts, or for want of room, and for nothing else."""
    fields_at_fault: set[str] = set()
    printed = None
    try:
        printed = cup_label(content)
    except Refused as refused:
        fields_at_fault = {fault.field for fault in refused.faults}
    assert fields_at_fault <= {"person", "dose", "cup label"}
    return printed


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(name=ANY, dose=ANY)
def test_any_name_and_any_dose_print_as_they_are_or_are_refused(name: str, dose: str) -> None:
    content = replace(made_up.the_cup(), person=name, doses=(dose,))
    printed = tried(content)
    if printed is None:
        return
    assert isinstance(printed.size, Size)
    (text,) = told(printed.pdf, turned=printed.size.turned)
    assert bare(text) == bare("".join(printed.words))
    (found,) = signs(printed.pdf)
    assert min(one.points for one in found) >= 8
    assert all(one.left >= -0.3 and one.right <= printed.size.width + 0.3 for one in found)
    assert [one.text for one in codes(shown(printed.png))] == [content.code]


def test_every_field_of_every_kind_reaches_the_paper() -> None:
    """A field that is forgotten in its module would be missed on the label."""
    full = {
        CupLabel: replace(made_up.TWO_DRUGS, runs="10 mg per h continuously"),
        OpenedLabel: replace(made_up.OPENED, kept="in the refrigerator"),
        ShelfLabel: made_up.SHELF,
    }
    for kind, make in ((CupLabel, cup), (OpenedLabel, opened), (ShelfLabel, shelf)):
        content = full[kind]
        words = " ".join(make(content).words)  # type: ignore[operator]
        for field in fields(kind):
            value = getattr(content, field.name)
            for text in (value,) if isinstance(value, str) else value if isinstance(value, tuple) else ():
                assert text in words, field.name


def test_a_line_ends_nowhere_between_a_number_and_its_unit() -> None:
    """Rendered narrow enough to break everywhere it may."""
    label = Label(kind="cup", lines=(Line(name="dose", text="to 2.5 mg in 3 mL by 25 Nov 2026 14:05, no. 204 118"),))
    (text,) = told(print_label(label, [Size(width=38, height=200, margin=1)]).pdf, turned=True)
    assert "\u00a0" in text
    for kept in ("2.5 mg in 3 mL", "25 Nov 2026 14:05", "no. 204 118"):
        assert kept.replace(" ", "\u00a0") in text


def test_a_size_is_told_in_its_own_millimetres() -> None:
    (page,) = printed_pages(cup_label(made_up.FOR_ITSELF).pdf, 10)
    assert abs(page.width - 570) <= 1
    assert MM == 72 / 25.4
