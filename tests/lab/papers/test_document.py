"""Papers of the lab: everything on them is printed, numbered, signed with who printed it; nothing is cut, whatever is typed."""

from dataclasses import replace

import pytest

from drawndose.lab.papers.document import CAUTION, Document, pdf_of
from drawndose.lab.papers.parts import (
    Column,
    beside,
    blanks,
    boxes,
    framed,
    heading,
    next_page,
    notice,
    pairs,
    table,
    text,
    to_write,
    together,
)
from drawndose.paper.size import A4, LETTER, Paper
from drawndose.quantities import Refused
from tests.department.printing.reading import bare, sides, told
from tests.lab.papers.paper_samples import PRINTED, on_paper, said

PLAIN = Document(title="A paper", head="of a day", printed=PRINTED, mark="KEY", parts=[text("One sentence.")])
WORD = "acetylcysteine" * 12
HOSTILE = [
    heading(f"Heading {WORD}"),
    text(f"{WORD} 12 12 12 12 12 12 12 12 12 12 12 12 12 12 12 12 12 12 12 12 12 12 12 12 12 12 12 12 12", strong=True),
    notice(f"#import \"x\" ] $ {WORD}"),
    pairs([(WORD, WORD), ("left out", "")]),
    table([Column("Narrow", 1), Column(WORD, 1), Column("No.", 0, right=True), Column("Wide", 9)], [[WORD, ["12 Mar 2026 12:30", WORD], "1", boxes(["done"])]] * 3),
    beside([text(WORD)], [pairs([("Name", WORD)], narrow=True)]),
    together([text("kept"), to_write(2), blanks([("Name:", "mL")])]),
    next_page(),
    framed([[text("in a frame")]] * 3, columns=2, height_mm=40),
]  # fmt: skip


@pytest.mark.parametrize("paper", [A4, LETTER])
def test_whatever_is_typed_is_printed_whole_inside_the_page(paper: Paper) -> None:
    made = pdf_of([replace(PLAIN, title=WORD[:40], head=f"{WORD[:100]} 3.5 mL", parts=HOSTILE)], paper)
    assert set(sides(made)) == {(paper.width, paper.height)}
    on_paper(made, paper.width, paper.height)
    assert said(made).count(bare(WORD)) >= 10
    assert '#import"x"]$' in said(made)


def test_every_page_says_its_number_who_printed_it_and_that_it_is_no_patients() -> None:
    made = pdf_of([replace(PLAIN, parts=[text("a"), next_page(), text("b")]), PLAIN])
    pages = [bare(one) for one in told(made)]
    assert [bare(f"Page {at} of {of}") in page for page, (at, of) in zip(pages, [(1, 2), (2, 2), (1, 1)], strict=True)] == [True] * 3  # fmt: skip
    assert all(bare(one) in page for page in pages for one in (PRINTED, CAUTION, "KEY", "A paper", "of a day"))
    assert "no patient" in CAUTION


def test_a_long_table_goes_on_with_its_head_on_every_page() -> None:
    rows = [[f"row {at}", "x" * 90] for at in range(80)] + [["long", "word " * 900]]
    made = pdf_of([replace(PLAIN, parts=[table([Column("Which", 1), Column("What", 4)], rows)])])
    pages = [bare(one) for one in told(made)]
    assert len(pages) > 3
    assert all("WhichWhat" in one for one in pages)
    assert all(f"row{at}" in "".join(pages) for at in range(80))
    assert said(made).count("word") == 900
    on_paper(made, 210, 297)


def test_what_is_too_long_to_stay_together_goes_on() -> None:
    long = together([text(f"line {at}: {'word ' * 30}") for at in range(60)])
    assert long["whole"] is False
    made = pdf_of([replace(PLAIN, parts=[long])])
    assert len(told(made)) > 1
    assert "line59:" in said(made)


def test_a_sign_without_a_type_stands_as_its_code_and_a_line_end_stays_one() -> None:
    made = said(pdf_of([replace(PLAIN, parts=[text("Great \U0001f600!\nNext line."), text("")])]))
    assert "Great[U+1F600]!" in made
    assert "Nextline." in made


def test_a_table_without_rows_says_so() -> None:
    made = said(pdf_of([replace(PLAIN, parts=[table([Column("A")], [], "Nobody yet.")])]))
    assert "Nobodyyet." in made


def test_nothing_to_print_no_name_and_too_much_for_a_frame_are_refused() -> None:
    with pytest.raises(Refused, match="there is nothing to print"):
        pdf_of([])
    with pytest.raises(Refused, match="A paper, printed: a paper says who printed it"):
        pdf_of([replace(PLAIN, printed=" ")])
    with pytest.raises(Refused, match=r"card: its text needs \d+\.\d mm of height, and there are 4\.0 mm"):
        pdf_of([replace(PLAIN, parts=[framed([[text("a\nb\nc\nd")]], columns=1, height_mm=10)])])
