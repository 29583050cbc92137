"""The pack of a day: every kind of paper with all that belongs on it, and nothing of the key where learners see it."""

import re
from itertools import pairwise

import pytest

from drawndose.lab.forms.shipped import shipped
from drawndose.lab.papers.document import Document, pdf_of
from drawndose.lab.papers.laid import Laid
from drawndose.lab.papers.pack import KINDS, WHOLE, documents, pack
from drawndose.lab.tasks.supplies import whole_list
from drawndose.lab.tasks.task import Flaw, TaskKind
from drawndose.paper.size import A4, LETTER, Paper
from drawndose.quantities import Refused
from tests.department.printing.reading import bare, sides, told
from tests.lab.papers.paper_samples import PRINTED, day, on_paper, said, tasks, texts


def printed(kind: str, made: Laid | None = None, paper: Paper = A4) -> bytes:
    return pdf_of(documents(made or day(), kind), paper)


@pytest.mark.parametrize("paper", [A4, LETTER])
@pytest.mark.parametrize("kind", KINDS)
def test_every_text_of_every_kind_stands_on_it_and_nothing_is_cut(kind: str, paper: Paper) -> None:
    pdf, found = printed(kind, paper=paper), documents(day(), kind)
    words = said(pdf)
    for one in (each for document in found for part in document.parts for each in texts(part)):
        assert all(bare(line) in words or all(bare(word) in words for word in line.split()) for line in one.splitlines()), one  # fmt: skip
    on_paper(pdf, paper.width, paper.height)
    assert set(sides(pdf)) == {(paper.width, paper.height)}


def test_a_card_shows_the_order_and_no_word_of_its_key() -> None:
    made = day(24)
    (cards,) = documents(made, "cards")
    words = bare(" ".join(texts(list(cards.parts))))
    every = [task for seat in made.tasks.seats for task in seat.tasks]
    for task in every:
        assert bare(task.order) in words
        assert bare(task.person) in words
        for secret in (task.id, task.template, task.key.says, task.key.reading, task.key.why, task.flaw.value, *task.key.working):  # fmt: skip
            assert not secret or secret == Flaw.NONE.value or bare(secret) not in words, secret
    assert "difficulty" not in words


def test_a_card_to_stop_at_looks_like_any_other() -> None:
    """The same parts, the same place to write, and the time of the station, not its own."""
    made = day(24)
    (cards,) = documents(made, "cards")
    cells = [cell for part in cards.parts if part["kind"] == "framed" for cell in part["cells"]]  # type: ignore[attr-defined]
    shapes = {tuple((part["kind"], len(part.get("rows", ()))) for part in cell) for cell in cells}
    assert len(shapes) == 1
    for station in made.stations:
        piled = made.cards(station)
        assert {one.task.kind for one in piled} == set(TaskKind)
        of_station = [cell for cell in cells if f"Card {station.number}." in texts(cell)[0]]
        assert len(of_station) == len(piled)
        assert {texts(cell)[-len(texts(cell)) :].count(f"{station.minutes} min") for cell in of_station} == {1}


def test_cards_are_numbered_in_their_piles_and_key_and_station_sheet_use_the_same_numbers() -> None:
    made = day()
    numbers = [card.number for station in made.stations for card in made.cards(station)]
    assert len(set(numbers)) == len(numbers) == sum(len(seat.tasks) for seat in made.tasks.seats)
    for kind in ("cards", "key", "stations"):
        words = said(printed(kind, made))
        assert all(one in words for one in numbers), kind


def test_the_key_works_every_task_and_is_marked_on_every_page() -> None:
    made = day()
    pdf = printed("key", made)
    words = said(pdf)
    assert all("KEY:EVALUATORSONLY" in bare(page) for page in told(pdf))
    for task in (task for seat in made.tasks.seats for task in seat.tasks):
        key = task.key
        ways = key.worked.wrong_ways if key.worked is not None else ()
        for said_so in (
            key.says,
            key.do,
            key.reading,
            *key.working,
            *task.say,
            *task.write,
            *(way.says for way in ways),
        ):
            assert bare(said_so) in words, said_so


def test_what_is_wrong_with_a_container_stands_on_the_station_sheet() -> None:
    words = said(printed("stations", day(24)))
    assert "NOTFORLEARNERS" in words
    for state in ("opened,nodatewritten", "label:forBenBirch,record4417", "tobeseen:", "expiry"):
        assert state in words


def test_the_supply_list_counts_what_the_lab_counts_and_says_what_is_water() -> None:
    words = said(printed("supplies"))
    for one in whole_list(tasks()):
        assert bare(f"{one.count} {one.what}") in words or bare(f"{one.count}{one.what}") in words
    assert "water,labelledsoandFORTRAININGONLY" in words


def test_there_is_a_label_for_every_card_with_spares() -> None:
    pdf = printed("labels")
    cards = sum(len(seat.tasks) for seat in tasks().seats)
    count = int(re.search(r"(\d+)labels:", said(pdf))[1])  # type: ignore[index]
    assert count == cards + 3
    assert said(pdf).count("FORTRAININGONLY:WATER") == count
    assert said(pdf).count("NOTFORINJECTION") == count


def test_a_form_on_paper_has_every_step_its_mark_and_its_version() -> None:
    for form, document in zip(shipped(), documents(day(), "forms"), strict=True):
        words = said(pdf_of([document]))
        assert form.version[:8] in words
        assert words.count("CRITICAL:") == len(form.critical)
        for step in form.shown:
            assert bare(step.says) in words
            assert bare(f"Fails: {step.failure}") in words
            assert not step.prompt or bare(f'May be said: "{step.prompt}"') in words
        for choice in form.choices:
            assert bare(f"{choice.asks} Here: {choice.chosen}.") in words
    own = documents(day(), "forms", [shipped()[2]])
    assert [one.title for one in own] == [shipped()[2].title]


def test_the_pack_holds_every_kind_once_and_all_of_them_in_one() -> None:
    made = pack(day(2), LETTER)
    assert list(made) == [*KINDS, WHOLE]
    assert len(told(made[WHOLE])) == sum(len(told(made[kind])) for kind in KINDS)
    assert said(made[WHOLE]) == "".join(said(made[kind]) for kind in KINDS)


def test_names_of_learners_stand_where_they_are_known() -> None:
    named = day(2, names=("Lea Larch", "Max Maple"), title="Spring lab")
    assert named.head == "Spring lab, 02 Mar 2026, seed papers, 2 learners"
    assert "LeaLarch" in said(printed("cards", named))
    assert day(1).head == "02 Mar 2026, seed papers, 1 learner"
    assert day(2).learner(2) == "learner 2"
    with pytest.raises(Refused, match="one name for each seat, or none at all"):
        day(2, names=("Lea Larch",))


def test_a_day_without_tasks_to_stop_at_is_printed_too() -> None:
    calm = Laid(tasks=tasks(2, stops=False), printed=PRINTED)
    assert "Stop." not in said(printed("key", calm))


def test_neighbours_on_the_pile_are_other_learners_or_other_tasks() -> None:
    for station in day(24).stations:
        assert all((a.seat, a.task.id) != (b.seat, b.task.id) for a, b in pairwise(day(24).cards(station)))


def test_another_kind_is_no_kind() -> None:
    with pytest.raises(KeyError):
        documents(day(2), "poster")
    assert all(isinstance(one, Document) for one in documents(day(2), WHOLE))
