"""Write the tables of mixtures into docs/reference/mixing.md, between their marks.

Usage: python -m tools.mixing_page [--check]     with --check nothing is written, and a page that is out of date fails
"""

import sys
from itertools import combinations
from pathlib import Path

from drawndose.bench.compatibility import judge_three
from drawndose.bench.mixture_lookup import Pair, pair
from drawndose.quantities import show
from drawndose.reference import ANY, Mixture, load
from tools import generated
from tools.generated import keep

PAGE = Path(__file__).parents[1] / "docs/reference/mixing.md"
BOOK = load()


def said(statements: tuple[Mixture, ...]) -> str:
    """Who says what, each with its source."""
    return "<br>".join(f"{one.told} (`{one.origin.source}`)" for one in statements)


def name(ident: str) -> str:
    """A drug as people read it; a product by its id."""
    return ident.replace("-", " ") if ident in {drug.id for drug in BOOK.drugs} else f"`{ident}`"


def any_table() -> str:
    """What is said of a drug or a product with whatever else goes in, the gravest first."""
    of_any = [one for one in BOOK.mixtures if ANY in one.of and set(one.of) != {ANY}]
    rows = [
        f"| {name(next(each for each in one.of if each != ANY))} | {one.verdict.value} | {said((one,))} |"
        for one in of_any
    ]
    return "\n".join(["| with any other drug | said | who says so |", "|---|---|---|", *rows])


def carried_table() -> str:
    """What is said of a drug with something that a product carries."""
    substances = {carried.substance for one in BOOK.presentations for carried in one.carries}
    of_carried = [one for one in BOOK.mixtures if set(one.of) & substances]
    rows = [
        f"| {' + '.join(map(name, one.of)).replace('`', '')} | {one.verdict.value} | {said((one,))} |"
        for one in of_carried
    ]
    return "\n".join(["| drug and what is carried | said | who says so |", "|---|---|---|", *rows])


def stated() -> list[Pair]:
    """The pairs of drugs on which somebody says something, by themselves or by one of their products."""
    drugs = [drug.id for drug in BOOK.drugs]
    owner = {one.id: one.drug for one in BOOK.presentations}
    named = {
        frozenset(owner.get(each, each) for each in one.of)
        for one in BOOK.mixtures
        if len(one.of) == 2 and ANY not in one.of
    }
    found = (pair(one, other, BOOK) for one, other in combinations(drugs, 2))
    return [one for one in found if one is not None and (frozenset(one.of) in named or one.otherwise)]


def pairs_table() -> str:
    """The verdict on each pair, with its time, what decided it, and the products whose verdict is another one."""
    rows = []
    for one in stated():
        within = show(one.judged.within) if one.judged.within is not None else ""
        but = "".join(f"<br>but `{'` with `'.join(which)}`: {verdict.value}" for which, verdict in one.otherwise)
        rows.append(
            f"| {' + '.join(map(name, one.of))} | {one.judged.verdict.value} | {within} | {said(one.judged.because)}{but} |"
        )
    return "\n".join(["| pair | verdict | within | what decides it |", "|---|---|---|---|", *rows])


def threes_table() -> str:
    """What is said of three together."""
    rows = []
    for one in BOOK.mixtures:
        if len(one.of) == 3 and ANY not in one.of:
            judged = judge_three((one.of[0], one.of[1], one.of[2]), BOOK.mixtures, preserved=False)
            rows.append(f"| {' + '.join(map(name, one.of))} | {judged.verdict.value} | {said(judged.because)} |")
    return "\n".join(["| three | verdict | what decides it |", "|---|---|---|", *rows])


def sources_table() -> str:
    """Every source of a statement."""
    used = dict.fromkeys(one.origin.source for one in BOOK.mixtures)
    rows = []
    for ident in used:
        source = BOOK.sources[ident]
        where = f"<{source.address}>" if source.address else "a copy, address not kept"
        rows.append(f"| `{ident}` | {source.title} | {where} |")
    return "\n".join(["| source | what it is | where |", "|---|---|---|", *sorted(rows)])


PARTS = {
    "any": any_table,
    "carried": carried_table,
    "pairs": pairs_table,
    "threes": threes_table,
    "sources": sources_table,
}


def filled(page: str) -> str:
    """The page with every part between its marks."""
    return generated.filled(page, PARTS)


def main(words: list[str]) -> int:
    """Write or check; 1 when the page was out of date and only checked."""
    return keep({PAGE: filled(PAGE.read_text(encoding="utf-8"))}, words)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
