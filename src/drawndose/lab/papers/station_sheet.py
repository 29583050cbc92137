"""The station sheets: what the evaluator does, what lies there, and each card of the pile with what is laid out for it. No key on them."""

from __future__ import annotations

from drawndose.lab.papers.document import Document
from drawndose.lab.papers.laid import Card, Laid
from drawndose.lab.papers.on_table import container_words, on_table, state_words
from drawndose.lab.papers.parts import Column, Part, boxes, heading, next_page, notice, pairs, table, text
from drawndose.lab.tasks.task import Item, Station

MARK = "NOT FOR LEARNERS"
WATER = "Every drug here is water. Write FOR TRAINING ONLY on each container; nothing of it is given to anybody."


def station_sheets(day: Laid) -> Document:
    """One sheet for each station, each on pages of its own."""
    parts: list[Part] = []
    for one in day.stations:
        parts += [*([next_page()] if parts else []), *_station(day, one)]
    return Document(title="Station sheets", head=day.head, printed=day.printed, mark=MARK, parts=parts)


def _station(day: Laid, one: Station) -> list[Part]:
    cards = day.cards(one)
    rows = [
        ("Container", one.container.value),
        ("Time", f"{one.minutes} min for each card, by the bell"),
        ("Cards", f"{len(cards)}, numbered {cards[0].number} to {cards[-1].number}"),
        ("Evaluator", "................................................"),
    ]
    return [
        heading(f"Station {one.number}: {one.title}"),
        pairs(rows),
        notice(WATER),
        heading("What the evaluator does", 2),
        *(text(f"{at}. {says}") for at, says in enumerate(one.tells, start=1)),
        heading("What must lie here, with spares", 2),
        items(one.supplies),
        heading("Card by card: what is laid out", 2),
        text("Lay out what the card names and nothing else. Dates are those on the container: write them there before the day."),
        table(
            (Column("Card", 0), Column("Learner", 1.8), Column("Order on the card", 3.4), Column("Container in hand", 3.6), Column("Beside it", 4.6)),
            [_card(card) for card in cards],
        ),
    ]  # fmt: skip


def items(supplies: tuple[Item, ...], *, tick: bool = True) -> Part:
    """A list of things. tick: with boxes to tick when they lie there."""
    columns = (Column("Count", 0, right=True), Column("What", 3), Column("Simulated by", 2.15))
    rows = [[f"{one.count}", one.what, one.simulated] for one in supplies]
    if not tick:
        return table(columns, rows)
    return table((Column("", 0), *columns), [[boxes([""]), *row] for row in rows])


def _card(card: Card) -> list[str | list[str]]:
    drug = card.task.stand.drug
    in_hand = [one for one in (container_words(drug), state_words(drug)) if one]
    return [card.number, card.learner, card.task.order, in_hand, "; ".join(on_table(card.task)[1:])]
