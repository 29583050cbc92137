"""Looking a mixture up by drug: the verdict on the drugs, and the products whose verdict is another one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from drawndose.bench.compatibility import Judged, Part, judge, part
from drawndose.reference import Catalogue, Presentation, Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two drugs by their ids, the verdict on them, and each product, or two, of another verdict."""

    of: tuple[str, str]
    judged: Judged
    otherwise: tuple[tuple[tuple[str, ...], Verdict], ...]


def pair(one: str, other: str, book: Catalogue) -> Pair | None:
    """The pair; None for a drug with itself."""
    judged = judge(Part((one,)), Part((other,)), book.mixtures)
    if judged is None:
        return None
    return Pair(of=(one, other), judged=judged, otherwise=tuple(_otherwise(one, other, judged, book)))


def products(drug: str, book: Catalogue) -> tuple[Presentation, ...]:
    """The products that hold this drug and no other, and are no diluent."""
    return tuple(one for one in book.presentations_of(drug) if one.drugs == (drug,) and not one.diluent)


def _otherwise(one: str, other: str, plain: Judged, book: Catalogue) -> Iterator[tuple[tuple[str, ...], Verdict]]:
    """A product by itself where its verdict is the same with every product of the other drug; else the two."""
    mine, theirs = products(one, book), products(other, book)
    verdicts = {
        (a.id, b.id): judged.verdict
        for a in mine
        for b in theirs
        if (judged := judge(part(a), part(b), book.mixtures)) is not None
    }
    left = {both: verdict for both, verdict in verdicts.items() if verdict is not plain.verdict}
    for side, several in enumerate((mine, theirs)):
        for product in several:
            with_it = {both: verdict for both, verdict in verdicts.items() if both[side] == product.id}
            same = set(with_it.values())
            if len(same) == 1 and set(with_it) <= set(left):
                yield (product.id,), same.pop()
                left = {both: verdict for both, verdict in left.items() if both not in with_it}
    yield from left.items()
