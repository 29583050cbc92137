"""The answer key, for evaluators: by card what is right in a sentence, then every task in full with its sums, wrong ways and label."""

from __future__ import annotations

import re
from collections.abc import Iterator

from drawndose.bench.draws import ml
from drawndose.lab.papers.document import Document
from drawndose.lab.papers.laid import Card, Laid
from drawndose.lab.papers.on_table import container_words, on_table, state_words
from drawndose.lab.papers.parts import Column, Part, beside, heading, next_page, notice, pairs, table, together
from drawndose.lab.tasks.task import AnswerKey, Station, Task, TaskKind
from drawndose.quantities import Quantity, show_both

MARK = "KEY: EVALUATORS ONLY"
DOTS = re.compile(r"\.{4,}")


def answer_key(day: Laid) -> Document:
    """The key, station by station. A task that stands on several cards is worked once."""
    parts: list[Part] = []
    for one in day.stations:
        parts += [*([next_page()] if parts else []), *_station(day, one)]
    return Document(title="Answer key", head=day.head, printed=day.printed, mark=MARK, parts=parts)


def _station(day: Laid, one: Station) -> Iterator[Part]:
    cards = day.cards(one)
    yield heading(f"Station {one.number}: {one.title}")
    yield table(
        (Column("Card", 0), Column("Learner", 2), Column("Order", 4), Column("Right is", 5)),
        [[card.number, card.learner, card.task.order, card.task.key.says] for card in cards],
    )
    worked: dict[str, list[Card]] = {}
    for card in cards:
        worked.setdefault(card.task.id, []).append(card)
    for same in worked.values():
        numbers = ", ".join(card.number for card in same)
        yield _task(same[0].task, f"Card{'s' if len(same) > 1 else ''} {numbers}")


def _task(task: Task, cards: str) -> Part:
    key = task.key
    parts = [
        heading(f"{cards}: {task.order}", 2),
        notice(" ".join(one for one in (key.says, key.do) if one)),
        beside([pairs(_facts(task), narrow=True)], [pairs(_asked(task), narrow=True)]),
    ]
    if key.worked is not None:
        ways = [[_first_large(way.name), way.says, _answer(way.answer)] for way in key.worked.wrong_ways]
        parts.append(table((Column("Wrong way", 2), Column("What was done", 3), Column("It leads to", 2)), ways))
    return together(parts)


def _facts(task: Task) -> list[tuple[str, str]]:
    key = task.key
    state = state_words(task.stand.drug)
    return [
        ("In hand", container_words(task.stand.drug) + (f" ({state})" if state else "")),
        ("Beside it", "; ".join(on_table(task)[1:])),
        ("Difficulty", task.difficulty.value),
        ("Wrong", "" if task.kind is TaskKind.PREPARE else f"{task.flaw.value}: {key.why}"),
        ("Read at", key.reading),
        ("Inside", _inside(key)),
        ("Sum", "\n".join(key.working)),
    ]


def _asked(task: Task) -> list[tuple[str, str]]:
    """What the learner must write and say."""
    return [
        ("Label", "\n".join(f"{one.name}: {DOTS.sub('....', one.text)}" for one in task.key.label)),
        ("Said aloud", "\n".join(task.say)),
        ("Written", "\n".join(task.write)),
    ]


def _first_large(name: str) -> str:
    """With a large first letter, and every unit as it is."""
    return name[:1].upper() + name[1:]


def _inside(key: AnswerKey) -> str:
    """Between which volumes a measured one is right."""
    if key.volume_mL is None or key.tolerance_mL is None:
        return ""
    return f"{ml(key.volume_mL - key.tolerance_mL)} to {ml(key.volume_mL + key.tolerance_mL)}"


def _answer(value: object) -> str:
    assert isinstance(value, Quantity)  # a dose sum answers with volumes
    return show_both(value)
