"""The learners' cards, two to a page to be cut apart, and label blanks to write on. Neither says, by word or number, what is right.

A card with no right preparation looks like any other: it has the time of the station, not its own, and the same places to write.
"""

from __future__ import annotations

from fractions import Fraction

from drawndose.lab.papers.document import Document
from drawndose.lab.papers.laid import Card, Laid
from drawndose.lab.papers.on_table import on_table
from drawndose.lab.papers.parts import Part, blanks, framed, next_page, pairs, text
from drawndose.lab.tasks.supplies import with_spares
from drawndose.lab.tasks.task import Station

CARD_MM, BLANK_MM = 115.0, 56.0
TO_WRITE = (
    ("My dose sum, with its units:", ""),
    *((("", ""),) * 4),
    ("Volume I need:", "mL"),
    ("Diluent I add:", "mL"),
    ("What I found, and whom I told:", ""),
    ("", ""),
)
LABEL_LINES = (
    ("For:", "born ....................  no. ...................."),
    ("Drug and amount:", ""),
    ("Diluted with:", ""),
    ("Prepared:", "at .............."),
    ("Start giving by:", ""),
    ("Made by:", "second reader ...................."),
)
ROUTE = "To be breathed in by nebulizer. NOT FOR INJECTION."


def learner_cards(day: Laid) -> Document:
    """Every card, pile by pile."""
    parts: list[Part] = []
    for station in day.stations:
        cells = [_card(one, station) for one in day.cards(station)]
        parts += [*([next_page()] if parts else []), framed(cells, columns=1, height_mm=CARD_MM)]
    return Document(title="Learners' cards", head=f"{day.head}. Cut apart; one pile for each station.", printed=day.printed, parts=parts)  # fmt: skip


def _card(card: Card, station: Station) -> list[Part]:
    return [
        text(f"Card {card.number}   {station.title}   {card.learner}", strong=True),
        text(card.task.order, large=True, strong=True),
        pairs([("For", card.task.person), ("On the table", "; ".join(on_table(card.task))), ("Time", f"{station.minutes} min")]),
        text("Prepare what the order asks for, or say why you do not. Say your checks aloud. Nothing is given to anybody."),
        blanks(TO_WRITE),
    ]  # fmt: skip


def label_blanks(day: Laid) -> Document:
    """So many labels as there are cards, with spares: also for a card on which none is needed, since none may give that away."""
    cards = sum(len(day.cards(one)) for one in day.stations)
    cell = [text("FOR TRAINING ONLY: WATER", strong=True), blanks(LABEL_LINES), text(ROUTE)]
    count = with_spares(cards, SPARE)
    return Document(
        title="Label blanks",
        head=f"{day.head}. {count} labels: one for each card, with spares.",
        printed=day.printed,
        parts=[framed([cell] * count, columns=2, height_mm=BLANK_MM)],
    )


SPARE = Fraction(1, 10)
"""As of everything else on the tables."""
