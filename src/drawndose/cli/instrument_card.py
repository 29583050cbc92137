"""One instrument told in full: scale, rule, smallest volumes; and volumes on it, each with the mark to read and its error."""

from collections.abc import Iterator
from fractions import Fraction

from drawndose.bench.draws import GRADUATE_LEAST, ml, too_low_in_cylinder
from drawndose.bench.one_volume import LIMITS, Difference, Line, OneVolume, by_difference, misreadings, one_volume
from drawndose.bench.takes import percent
from drawndose.cli.plan_text import origin_words
from drawndose.quantities import Quantity, quantity_data, show_about, show_number
from drawndose.reference import Catalogue, Instrument, Kind


def card_lines(
    one: Instrument, volumes: list[Fraction], start: Fraction | None, per_ml: Quantity | None, book: Catalogue
) -> Iterator[str]:
    """The instrument, then each volume. start: the mark from which a volume is given as a difference."""
    yield f"{one.name}  [{origin_words(one.origin, book)}]"
    yield f"  scale    {scale_words(one)}"
    if one.scale_length is not None and one.scale_length_origin is not None:
        where = f"{one.scale_length_origin.at}; {one.scale_length_origin.how.value}"
        yield f"  length   {show_number(one.scale_length)} mm from 0 to {ml(one.capacity)}  [{where}]"
    yield f"  rule     {rule_words(one)}  [{origin_words(one.tolerance.origin, book)}]"
    for limit in LIMITS:
        smallest = one.tolerance.smallest(one.capacity, limit)
        yield f"  {percent(limit):8} {_smallest(smallest)}"
    for each in misreadings(one):
        times = "one reading" if each.readings == 1 else "difference of two readings"
        yield f"  reading  {each.how}, {times}: off by at most {ml(each.at_most)}"
    if one.calibration is not None:
        yield f"  found    by {one.calibration.by}, {one.calibration.on:%d %b %Y}:"
        for point in one.calibration.points:
            yield f"           set {ml(point.set)}, delivered {ml(point.delivered)}, standard uncertainty {ml(point.uncertainty)}"
    for volume in volumes:
        yield ""
        yield from _volume(one_volume(volume, one, per_ml))
        if start is not None:
            yield from _difference(by_difference(start, volume, one), volume, per_ml)


def _smallest(volume: Fraction | None) -> str:
    if volume is None:
        return "never within it"
    return f"from {ml(volume)} up" if volume else "at every mark"


def scale_words(one: Instrument) -> str:
    """The scale in words."""
    if one.kind is Kind.DROPPER:
        return f"marks at {', '.join(ml(mark) for mark in one.marks)}, and nothing between"
    return f"marks every {ml(one.step)}, numbers every {ml(one.numbered)}, up to {ml(one.capacity)}"


def rule_words(one: Instrument) -> str:
    """The permissible error in words: two branches, or one where they are alike."""
    rule = one.tolerance
    below = _terms(rule.below_half_of_capacity, rule.below_half_of_volume)
    above = _terms(rule.from_half_of_capacity, rule.from_half_of_volume)
    if below == above:
        return f"{below}, either way"
    return f"below half of the capacity {below}, from half up {above}, either way"


def _terms(of_capacity: Fraction, of_volume: Fraction) -> str:
    parts = ((of_capacity, "of the capacity"), (of_volume, "of the volume"))
    return " + ".join(f"{percent(share)} {what}" for share, what in parts if share)


def _volume(found: OneVolume) -> Iterator[str]:
    if found.on_a_line:
        yield f"{ml(found.asked)} has its own line"
    else:
        yield f"{ml(found.asked)} has no line: choose one of its neighbours, or take an instrument that has the line"
    for line in found.lines:
        yield f"  read     {line.reading}"
        if line.deviation:
            more = "more" if line.deviation > 0 else "less"
            gives = f"gives {show_about(line.gives)}, " if line.gives is not None else ""
            yield f"           {gives}{percent(line.deviation)} {more}"
        yield f"           {_error(line)}"
    if too_low_in_cylinder(found.instrument, found.asked):
        yield f"  caution  under {percent(GRADUATE_LEAST)} of what it holds: take a smaller one"


def _error(line: Line) -> str:
    amount = f", {show_about(line.error_amount)} of this dose" if line.error_amount is not None else ""
    return f"may be off by {ml(line.error)} either way, {percent(line.share)} of this volume{amount}"


def _difference(found: Difference, volume: Fraction, per_ml: Quantity | None) -> Iterator[str]:
    amount = f", {show_about(per_ml * Quantity.of_text(found.error, 'mL'))} of this dose" if per_ml is not None else ""
    yield f"  between  {found.says}"
    yield f"           no rule speaks of a difference; both marks together {ml(found.error)}, {percent(found.error / volume)} of this volume{amount}"


def card_data(
    one: Instrument, volumes: list[Fraction], start: Fraction | None, per_ml: Quantity | None
) -> dict[str, object]:
    """The same as plain data, exact."""
    return {
        "schema": "drawndose.instrument/1",
        "instrument": one.id,
        "smallest": {str(limit): _text(one.tolerance.smallest(one.capacity, limit)) for limit in LIMITS},
        "misreadings": [
            {"how": each.how, "readings": each.readings, "at_most": str(each.at_most)} for each in misreadings(one)
        ],
        "volumes": [_volume_data(one_volume(volume, one, per_ml)) for volume in volumes],
        "differences": []
        if start is None
        else [_difference_data(by_difference(start, volume, one)) for volume in volumes],
    }


def _text(volume: Fraction | None) -> str | None:
    return None if volume is None else str(volume)


def _volume_data(found: OneVolume) -> dict[str, object]:
    return {
        "asked": str(found.asked),
        "on_a_line": found.on_a_line,
        "lines": [
            {
                "volume": str(line.volume),
                "reading": line.reading,
                "deviation": str(line.deviation),
                "error": str(line.error),
                "share": str(line.share),
                "gives": quantity_data(line.gives) if line.gives is not None else None,
                "error_amount": quantity_data(line.error_amount) if line.error_amount is not None else None,
            }
            for line in found.lines
        ],
    }


def _difference_data(found: Difference) -> dict[str, object]:
    return {"from": str(found.start), "to": str(found.end), "error": str(found.error), "says": found.says}
