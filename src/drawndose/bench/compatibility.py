"""May these go into one cup? The statements on a pair, or on three, weighed into one verdict, and how long it holds.

Gravest first: what is incompatible; what a label forbids; sources that disagree; no data; compatible. A label goes before a
study. A source that is no label and speaks against a mixture makes a conflict with one that found it compatible, and no data
without such a one. A cup is as good as its worst pair.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations

from drawndose.bench.takes import Take
from drawndose.quantities import Quantity
from drawndose.reference import ANY, Mixture, Mixtures, Origin, Presentation, Verdict, load

GRAVEST_FIRST = (
    Verdict.INCOMPATIBLE,
    Verdict.FORBIDDEN,
    Verdict.CONFLICTING,
    Verdict.NO_DATA,
    Verdict.COMPATIBLE,
)
"""The five verdicts of a cup."""
STOPS = GRAVEST_FIRST[:2]
"""Those with which nothing is mixed."""


@dataclass(frozen=True, slots=True, order=True)
class Part:
    """What goes in: its drugs; what else names it (its id, what it carries); which of that is a preservative."""

    drugs: tuple[str, ...]
    names: tuple[str, ...] = ()
    preservatives: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """The verdict; the one or two statements that decided it, gravest first; every one that applies; the one with the limit.

    unmet: statements that would hold only without a preservative, where one goes in.
    """

    verdict: Verdict
    because: tuple[Mixture, ...]
    statements: tuple[Mixture, ...]
    unmet: tuple[Mixture, ...]
    limit: Mixture | None

    @property
    def within(self) -> Quantity | None:
        """For how long it holds, where somebody said."""
        return self.limit.within if self.limit is not None else None

    @property
    def origin(self) -> Origin:
        """Where the gravest of them stands."""
        return self.because[0].origin


def part(presentation: Presentation) -> Part:
    """A product as a mixture sees it."""
    return Part(
        presentation.drugs,
        (presentation.id, *(one.substance for one in presentation.carries)),
        tuple(one.substance for one in presentation.carries if one.role == "preservative"),
    )


def judge(one: Part, other: Part, book: Mixtures) -> Judged | None:
    """The verdict on two of them: that of the worst pair of their drugs. None for the same drug in two strengths."""
    first, second = sorted((one, other))
    preserved = bool(first.preservatives or second.preservatives)
    found = [
        _weigh(_statements((mine, *first.names), (theirs, *second.names), book), preserved)
        for mine in first.drugs
        for theirs in second.drugs
        if mine != theirs
    ]
    if not found or set(first.drugs) == set(second.drugs):
        return None
    gravest = worst(found)
    goes = gravest.verdict not in STOPS
    return replace(gravest, limit=_soonest(judged.limit for judged in found) if goes else None)


def judge_three(drugs: tuple[str, str, str], book: Mixtures, *, preserved: bool) -> Judged:
    """The verdict of the statements on three drugs together; what is known of their pairs is not in it."""
    return _weigh([*book.of(*drugs), *book.of(ANY, ANY, ANY)], preserved)


def worst(found: Iterable[Judged]) -> Judged:
    """The gravest of several, the first of equals. ValueError when there is none."""
    return min(found, key=lambda judged: GRAVEST_FIRST.index(judged.verdict))


@dataclass(frozen=True, slots=True)
class Together:
    """Two parts by their places, or the parts that hold three drugs, and which; and the verdict on them."""

    places: tuple[int, ...]
    judged: Judged
    three: tuple[str, ...] = ()


@lru_cache(maxsize=256)
def cup(parts: tuple[Part, ...], book: Mixtures) -> tuple[Together, ...]:
    """Every pair of a cup, and every three drugs of it.

    That nothing is known of three together is told only where each of their pairs is compatible: else a graver thing is.
    """
    pairs = [
        Together((one, other), judged)
        for one, other in combinations(range(len(parts)), 2)
        if (judged := judge(parts[one], parts[other], book)) is not None
    ]
    sound = all(pair.judged.verdict is Verdict.COMPATIBLE for pair in pairs)
    threes = [three for three in _threes(parts, book) if sound or three.judged.verdict is not Verdict.NO_DATA]
    return (*pairs, *threes)


def _threes(parts: tuple[Part, ...], book: Mixtures) -> Iterator[Together]:
    every = sorted({drug for one in parts for drug in one.drugs})
    for drugs in combinations(every, 3):
        places = tuple(place for place, one in enumerate(parts) if set(one.drugs) & set(drugs))
        if len(places) > 1:
            preserved = any(parts[place].preservatives for place in places)
            yield Together(places, judge_three(drugs, book, preserved=preserved), drugs)


def _statements(mine: tuple[str, ...], theirs: tuple[str, ...], book: Mixtures) -> list[Mixture]:
    """Every statement on two of the names, one from each side; the closest ones first."""
    found = [statement for one in mine for other in theirs for statement in book.of(one, other)]
    found += [statement for name in (*mine, *theirs) for statement in book.of(name, ANY)]
    return [*found, *book.of(ANY, ANY)]


def _weigh(statements: list[Mixture], preserved: bool) -> Judged:
    unmet = tuple(one for one in statements if preserved and one.preservative_free)
    held = tuple(one for one in statements if not (preserved and one.preservative_free))
    by = {verdict: [one for one in held if one.verdict is verdict] for verdict in Verdict}
    compatible = by[Verdict.COMPATIBLE]
    allow = [one for one in (_soonest(compatible), *compatible) if one is not None][:1]
    against = by[Verdict.ADVISED_AGAINST][:1]
    verdict, because = Verdict.NO_DATA, [*against, *by[Verdict.NO_DATA]][:1]
    if by[Verdict.INCOMPATIBLE]:
        verdict, because = Verdict.INCOMPATIBLE, by[Verdict.INCOMPATIBLE][:1]
    elif by[Verdict.FORBIDDEN]:
        verdict, because = Verdict.FORBIDDEN, [by[Verdict.FORBIDDEN][0], *allow]
    elif by[Verdict.CONFLICTING]:
        verdict, because = Verdict.CONFLICTING, by[Verdict.CONFLICTING][:2]
    elif against and allow:
        verdict, because = Verdict.CONFLICTING, [*against, *allow]
    elif allow:
        verdict, because = Verdict.COMPATIBLE, allow
    return Judged(
        verdict=verdict,
        because=tuple(because),
        statements=held,
        unmet=unmet,
        limit=_soonest(held) if verdict in {Verdict.CONFLICTING, Verdict.COMPATIBLE} else None,
    )


def _soonest(several: Iterable[Mixture | None]) -> Mixture | None:
    """The one with the shortest time; None when none has a time."""
    timed = [one for one in several if one is not None and one.within is not None]
    return min(timed, key=lambda one: one.within.base if one.within is not None else 0, default=None)


# ---------------------------------------------------------------------------------------------- takes


@lru_cache(maxsize=64)
def mixed(takes: tuple[Take, ...]) -> tuple[tuple[tuple[Take, ...], Judged], ...]:
    """Every mixture of what is taken, with its verdict. A diluent taken as a drug is no drug: other rules judge it."""
    drugs = tuple(take for take in takes if not take.in_hand.presentation.diluent)
    if len(drugs) < 2:
        return ()
    found = cup(tuple(part(take.in_hand.presentation) for take in drugs), load().mixtures)
    return tuple((tuple(drugs[place] for place in one.places), one.judged) for one in found)


def stopped(one: Take, other: Take) -> bool:
    """True where a mixture of the two is incompatible, or a label forbids it."""
    return any(judged.verdict in STOPS for _, judged in mixed((one, other)))


def shortest(takes: tuple[Take, ...]) -> Mixture | None:
    """The statement with the shortest time for which a mixture of what is taken was found to hold, or is allowed."""
    return _soonest(judged.limit for _, judged in mixed(takes))
