"""Everything that can stand on a bench, a line each with its id: measures, cups, needles, unit doses, balances."""

from collections.abc import Iterator
from fractions import Fraction

from drawndose.bench.draws import ml
from drawndose.bench.plan_data import instrument_data
from drawndose.cli.instrument_card import scale_words
from drawndose.cli.plan_text import origin_words
from drawndose.quantities import Quantity, quantity_data, show, show_about, show_number
from drawndose.reference import Balance, Catalogue, Instrument, Needle, UnitDose

Data = dict[str, object]


def instrument_lines(book: Catalogue) -> Iterator[str]:
    """The whole list, each value with where it is printed and how surely it was read."""
    yield from (_line(one.id, _measure(one), origin_words(one.origin, book)) for one in book.measures)
    yield from (
        _line(one.id, _cup(show(one.holds), show(one.needs)), origin_words(one.origin, book)) for one in book.cups
    )
    yield from (_line(one.id, _needle(one), origin_words(one.origin, book)) for one in book.needles)
    yield from (_line(one.id, _unit_dose(one), origin_words(one.origin, book)) for one in book.unit_doses)
    yield from (_line(one.id, _balance(one), origin_words(one.origin, book)) for one in book.balances)


def _line(ident: str, says: str, origin: str) -> str:
    return f"{ident:26} {says}  [{origin}]"


def _measure(one: Instrument) -> str:
    named = "; only when named" if one.only_named else ""
    return f"{one.name}: {scale_words(one)}{named}"


def _cup(holds: str, needs: str) -> str:
    return f"holds {holds}, works from {needs}"


def _needle(one: Needle) -> str:
    parts = [one.name]
    if one.lumen is not None:
        parts.append(f"lumen {ml(one.lumen)}")
    if one.hub is not None:
        parts.append(f"hub {ml(one.hub)}")
    parts.append(f"keeps {ml(one.keeps)}" if one.keeps is not None else "what it keeps was not found: weigh it")
    return ", ".join(parts)


def _unit_dose(one: UnitDose) -> str:
    nominal = f", nominal {ml(one.nominal)}" if one.nominal is not None else ""
    known = ((one.excess, "usual excess"), (one.stays, "stays behind"))
    told = (f"{what} {ml(value) if value is not None else 'not found: weigh it'}" for value, what in known)
    return f"{one.name}{nominal}, {', '.join(told)}"


def _balance(one: Balance) -> str:
    scatter = (
        f"repeats within {_mg(one.repeatability_g)}" if one.repeatability_g is not None else "repeatability not known"
    )
    if one.repeatability_origin is not None:
        scatter += f" ({one.repeatability_origin.how.value})"
    return f"{one.name}, {scatter}"


def _mg(grams: Fraction) -> str:
    return show_about(Quantity.of_text(grams, "g").to("mg"))


def instrument_list_data(book: Catalogue) -> Data:
    """The same as plain data, exact; lengths in mm, volumes and masses as quantities."""
    return {
        "schema": "drawndose.instruments/1",
        "measures": [instrument_data(one) for one in book.measures],
        "cups": [
            {"id": one.id, "holds": quantity_data(one.holds), "needs": quantity_data(one.needs)} for one in book.cups
        ],
        "needles": [_needle_data(one) for one in book.needles],
        "unit_doses": [
            {"id": one.id, "nominal": _ml(one.nominal), "excess": _ml(one.excess), "stays": _ml(one.stays)}
            for one in book.unit_doses
        ],
        "balances": [
            {"id": one.id, "readability": _grams(one.readability_g), "repeatability": _grams(one.repeatability_g)}
            for one in book.balances
        ],
    }


def _needle_data(one: Needle) -> Data:
    return {
        "id": one.id,
        "kind": one.kind.value,
        "gauge": one.gauge,
        "length_mm": show_number(one.length_mm) if one.length_mm is not None else None,
        "lumen": _ml(one.lumen),
        "hub": _ml(one.hub),
        "keeps": _ml(one.keeps),
    }


def _ml(volume: Fraction | None) -> dict[str, str] | None:
    return None if volume is None else quantity_data(Quantity.of_text(volume, "mL"))


def _grams(mass: Fraction | None) -> dict[str, str] | None:
    return None if mass is None else quantity_data(Quantity.of_text(mass, "g"))
