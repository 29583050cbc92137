"""`drawndose catalogue mixing`: who says what of drugs in one cup, and the verdict on two or three of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from drawndose.bench.compatibility import STOPS, Judged, Part, Together, cup, part, worst
from drawndose.bench.mixture_lookup import Pair, pair, products
from drawndose.cli.output import write_json, write_lines
from drawndose.cli.plan_text import origin_words
from drawndose.quantities import Fault, Quantity, Refused, nearest, quantity_data, show
from drawndose.reference import ANY, Catalogue, Mixture

SCHEMA = "drawndose.mixing/1"
MOST = 3


def write_mixing(book: Catalogue, words: Sequence[str], *, as_json: bool) -> None:
    """Every statement; those on one drug; or the verdict on each pair of two or three, and on the cup. Refused otherwise."""
    names = _names(book, words)
    if len(names) < 2:
        found = [one for one in book.mixtures if not names or names[0] in one.of]
        if as_json:
            write_json({"schema": SCHEMA, "statements": [_statement_data(one) for one in found]})
        else:
            write_lines(
                f"{_of(one.of):48} {_verdict(one):26} {one.told}  [{origin_words(one.origin, book)}]" for one in found
            )
        return
    parts = tuple(_part(name, book) for name in names)
    found_together = cup(parts, book.mixtures)
    if not found_together:
        rule = "a drug with itself, or with a ready-made mixture of the same drugs, is no mixture"
        raise Refused([Fault(field="mixing", rule=rule, came=" ".join(words), accepted="two or three different drugs")])
    pairs: dict[tuple[str, ...], Pair | None] = {
        (one, other): pair(one, other, book) for one, other in combinations(names, 2) if _drugs({one, other}, book)
    }
    if as_json:
        write_json(_data(names, found_together, pairs))
    else:
        write_lines(_lines(names, found_together, pairs, book))


def _names(book: Catalogue, words: Sequence[str]) -> list[str]:
    """Ids of drugs and products. Refused with every word that is neither, and a diluent."""
    faults = []
    if len(words) > MOST:
        faults.append(
            Fault(field="mixing", rule=f"at most {MOST} at a time", came=" ".join(words), accepted="two or three")
        )
    names = []
    containers = {one.id: one for one in book.presentations} if words else {}
    for word in words:
        plain = word.strip().lower()
        name = book.names[plain][0] if plain in book.names else plain
        known = products(name, book) if plain in book.names else plain in containers and not containers[plain].diluent
        if known:
            names.append(name)
        elif plain in containers or plain in book.names:
            rule = "a diluent is no drug: which liquid a product takes stands on its label"
            faults.append(Fault(field="mixing", rule=rule, came=word, accepted="a drug, or the id of a container"))
        else:
            known_names = [*(drug.name for drug in book.drugs), *containers]
            accepted = nearest(word, known_names, "`drawndose catalogue`")
            faults.append(
                Fault(field="mixing", rule="neither a drug nor a container here", came=word, accepted=accepted)
            )
    if faults:
        raise Refused(faults)
    return names


def _drugs(names: set[str], book: Catalogue) -> bool:
    return names <= {drug.id for drug in book.drugs}


def _part(name: str, book: Catalogue) -> Part:
    return Part((name,)) if _drugs({name}, book) else part(book.presentation(name))


# ------------------------------------------------------------------------------------------------------ for people


def _lines(
    names: list[str], found: tuple[Together, ...], pairs: dict[tuple[str, ...], Pair | None], book: Catalogue
) -> Iterator[str]:
    for one in found:
        told = tuple(names[place] for place in one.places)
        yield f"{_of(one.three or told)}: {_verdict(one.judged)}"
        for statement in _shown(one.judged):
            yield f"  {statement.told}  [{origin_words(statement.origin, book)}]"
        for statement in one.judged.unmet:
            yield f"  not here, since a preservative goes in: {statement.told}  [{origin_words(statement.origin, book)}]"
        looked_up = pairs.get(told) if not one.three else None
        for which, verdict in looked_up.otherwise if looked_up is not None else ():
            yield f"  but {' with '.join(which)}: {verdict.value}"
    if len(found) > 1:
        within = _soonest(found)
        yield f"the cup: {worst(one.judged for one in found).verdict.value}{f', within {show(within)}' if within else ''}"


def _soonest(found: tuple[Together, ...]) -> Quantity | None:
    """The shortest time of a cup that may be mixed."""
    if any(one.judged.verdict in STOPS for one in found):
        return None
    return min((one.judged.within for one in found if one.judged.within is not None), default=None)


def _shown(judged: Judged) -> tuple[Mixture, ...]:
    """What decided, then what else is said of these drugs; what is said of every mixture only where it decided."""
    close = [one for one in judged.statements if set(one.of) != {ANY} and one not in judged.because]
    return (*judged.because, *close)


def _of(names: Sequence[str]) -> str:
    return " + ".join("any other drug" if name == ANY else name for name in names)


def _verdict(one: Judged | Mixture) -> str:
    within = f", within {show(one.within)}" if one.within is not None else ""
    return f"{one.verdict.value}{within}"


# -------------------------------------------------------------------------------------------------------- as data


def _data(
    names: list[str], found: tuple[Together, ...], pairs: dict[tuple[str, ...], Pair | None]
) -> dict[str, object]:
    return {
        "schema": SCHEMA,
        "of": names,
        "cup": {"verdict": worst(one.judged for one in found).verdict.value, "within": _time(_soonest(found))},
        "together": [
            {
                "of": list(one.three) or [names[place] for place in one.places],
                "verdict": one.judged.verdict.value,
                "within": _time(one.judged.within),
                "because": [_statement_data(statement) for statement in one.judged.because],
                "statements": [_statement_data(statement) for statement in one.judged.statements],
                "unmet": [_statement_data(statement) for statement in one.judged.unmet],
            }
            for one in found
        ],
        "products": [
            {"of": list(which), "in": list(both), "verdict": verdict.value}
            for both, looked_up in pairs.items()
            if looked_up is not None
            for which, verdict in looked_up.otherwise
        ],
    }


def _time(within: Quantity | None) -> dict[str, str] | None:
    return quantity_data(within) if within is not None else None


def _statement_data(one: Mixture) -> dict[str, object]:
    return {
        "of": list(one.of),
        "verdict": one.verdict.value,
        "within": _time(one.within),
        "preservative_free": one.preservative_free,
        "by": one.by,
        "says": one.says,
        "source": one.origin.source,
        "at": one.origin.at,
        "how": one.origin.how.value,
    }
