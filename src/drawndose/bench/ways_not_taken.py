"""The ways not taken: each with the one reason why it lost, and few enough to be read."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from drawndose.bench.candidate import Candidate, take_words, why_lost
from drawndose.bench.draws import Offer, between_lines
from drawndose.bench.in_hand import InHand
from drawndose.bench.search import Bench, Found, whats
from drawndose.bench.takes import Against, Take


@dataclass(frozen=True, slots=True, kw_only=True)
class NotTaken:
    """A way that was not taken, with the one reason why."""

    what: str
    why: str


MOST_SHOWN = 12
MOST_ALIKE = 2
MOST_AGAINST = 4
A_FEW = 6
"""On a bench of so many measures each of them was put there: every one is told, for every container that is in question."""


def not_taken(
    winner: tuple[Take, ...] | None,
    together: list[tuple[Take, ...]],
    held: list[Candidate],
    found: Found,
    bench: Bench,
) -> tuple[NotTaken, ...]:
    """The ways not taken, best first: those held back by a stop, those that ranked lower, those that cannot be done."""
    shown: list[NotTaken] = []
    for candidate in held:
        why = candidate.stops[0].says if candidate.stops else candidate.fill.questions[0].asks
        shown.append(NotTaken(what=_words(candidate.takes), why=why))
    told = {whats(candidate.takes) for candidate in held}
    if winner is not None:
        for takes in _best_of_each(together, winner):
            if whats(takes) not in told:
                shown.append(NotTaken(what=_words(takes), why=why_lost(takes, winner, bench.policy)))
    shown += _off_the_lines(found.offers)
    named = len(bench.instruments) <= A_FEW
    shown += [NotTaken(what=one.what, why=one.words()) for one in _few(found.against, winner, named)]
    return _spread(shown, most_alike=len(bench.instruments) if named else MOST_ALIKE)


def _few(against: list[Against], winner: tuple[Take, ...] | None, named: bool) -> list[Against]:
    """One reason for each container, more for those that were chosen: a list of twenty is not read. All, where few were named."""
    chosen = {id(take.in_hand) for take in winner} if winner is not None else {id(one.in_hand) for one in against}
    most = A_FEW if named else MOST_AGAINST if winner is not None else 1
    often: dict[int, int] = {}
    kept = []
    for one in against:
        key = id(one.in_hand)
        often[key] = often.get(key, 0) + 1
        if often[key] <= (most if key in chosen else 1):
            kept.append(one)
    return kept


def _best_of_each(together: list[tuple[Take, ...]], winner: tuple[Take, ...]) -> Iterator[tuple[Take, ...]]:
    """Of the containers that were chosen every other instrument; of any other set of containers only its best way."""
    seen: set[tuple[tuple[str, Fraction], ...]] = set()
    chosen = _containers(winner)
    for takes in together:
        containers = _containers(takes)
        if takes is not winner and (containers == chosen or containers not in seen):
            yield takes
        seen.add(containers)


def _containers(takes: tuple[Take, ...]) -> tuple[tuple[str, Fraction], ...]:
    return tuple((take.in_hand.presentation.id, take.in_hand.contents()) for take in takes)


def _off_the_lines(offers: list[tuple[InHand, Offer]]) -> list[NotTaken]:
    """One entry for each container and pair of lines: the instruments on which its volume lies between them."""
    alike: dict[tuple[str, str], list[str]] = {}
    for in_hand, offer in offers:
        why = between_lines(offer.asked, offer.instrument)
        alike.setdefault((in_hand.name, why), []).append(offer.instrument.name.partition(",")[0])
    return [
        NotTaken(what=f"{name}, with {' or '.join(dict.fromkeys(tools))}", why=why)
        for (name, why), tools in alike.items()
    ]


def _spread(shown: list[NotTaken], *, most_alike: int) -> tuple[NotTaken, ...]:
    """At most MOST_SHOWN ways, few with one reason for one container, and every container mentioned."""
    firsts: dict[str, NotTaken] = {}
    often: dict[tuple[str, str], int] = {}
    kept: list[NotTaken] = []
    for one in dict.fromkeys(shown):
        container = one.what.partition(",")[0]
        firsts.setdefault(container, one)
        often[(container, one.why)] = often.get((container, one.why), 0) + 1
        if often[(container, one.why)] <= most_alike:
            kept.append(one)
    chosen = set(list(firsts.values())[:MOST_SHOWN])
    for one in kept:
        if len(chosen) < MOST_SHOWN:
            chosen.add(one)
    return tuple(one for one in kept if one in chosen)


def _words(takes: tuple[Take, ...]) -> str:
    return " + ".join(take_words(take) for take in takes)
