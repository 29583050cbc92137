"""What a test reads out of a drawing: positions, texts, quantities. And one figure of every sort there is."""

import re
from collections.abc import Iterator
from fractions import Fraction

from drawndose.bench import drawing
from drawndose.bench.draws import line_words
from drawndose.reference import Container, Instrument, Kind, load

CLOSE = Fraction(1, 4)

NUMBER_STYLE = re.compile(
    r"(?<![\d.])\.\d"  # a naked point
    r"|\d\.\d*0(?!\d)"  # a trailing zero
    r"|(?<![\d.,])\d{4}"  # no comma from 1,000 on
    r"|(?<![a-z])cc\b|\bIU\b|\d ?U\b|\bmLs\b|[\u00b5\u03bc]|/ ?\d|/ ?mL"
    r"|\dm[Lmg]\b"  # a unit glued to its number
)


def lines(svg: str, css: str) -> list[tuple[Fraction, Fraction]]:
    """Volume and height of every line of a class."""
    found = re.findall(rf'<line class="{css}" [^>]*y1="([^"]+)"[^>]*y2="([^"]+)" data-ml="([^"]+)"', svg)
    assert all(first == last for first, last, _ in found)
    return [(Fraction(volume), Fraction(height)) for height, _, volume in found]


def texts(svg: str) -> list[str]:
    return [one.replace("\u00a0", " ") for one in re.findall(r"<text[^>]*>([^<]*)</text>", svg)]


def said(figure: drawing.Figure) -> list[str]:
    """Everything that stands in a figure or beside it, as people read it."""
    beside = [figure.name, *figure.words, *(part for row in figure.rows for part in row)]
    printed = (one.replace("\u00a0", " ").replace("ISO 7886-1:1993", "the standard") for one in beside)
    return [*texts(figure.svg), *texts(figure.small), *printed]


def quantities(text: str) -> set[str]:
    return set(re.findall(r"\d[\d.,]*(?= m[Lm]\b)", text.replace("\u00a0", " ")))


def points(svg: str, css: str) -> list[tuple[Fraction, Fraction]]:
    """The corners of a path of straight lines."""
    found = re.search(rf'<path class="{css}" d="([^"]+)"', svg)
    assert found is not None
    return [(Fraction(x), Fraction(y)) for x, y in re.findall(r"[ML] (\S+) (\S+)", found[1])]


def area(corners: list[tuple[Fraction, Fraction]]) -> Fraction:
    """Of a polygon, by the shoelace sum."""
    turns = zip(corners, corners[1:] + corners[:1], strict=True)
    return abs(sum((x * v - u * y for (x, y), (u, v) in turns), Fraction(0))) / 2


def every_line(tool: Instrument) -> list[Fraction]:
    if tool.kind is Kind.DROPPER:
        return list(tool.marks)
    return [tool.step * place for place in range(1, int(tool.capacity / tool.step) + 1)]


def every_sort() -> Iterator[drawing.Figure]:
    """Each sort of figure with several volumes, those at both ends of a scale among them."""
    book = load()
    for tool in book.measures:
        found = every_line(tool)
        for volume in {found[0], found[len(found) // 3], found[-1]}:
            yield drawing.filled("d", tool, volume, line_words(tool, volume))
            yield from _of_a_syringe(tool, volume)
    for needle in book.needles:
        yield drawing.needle_alone("d", needle)
        yield drawing.needle_on("d", book.instrument("syringe-3"), needle, Fraction(1, 2))
    holds = ((Fraction(3), Fraction(3)), (Fraction(1, 2), Fraction(20)))
    for kind in Container:
        yield drawing.container("d", kind, "a name", holds[0], (Fraction(3), Fraction(1, 3)))
    filters = next(one for one in book.needles if one.filters)
    for contents in holds:
        for taken in (contents[0], contents[0] / 4):
            yield drawing.inverted_vial("d", Container.STOPPERED_VIAL, "a vial", contents, taken)
            yield drawing.opened_ampoule("d", "an ampoule", contents, taken, filters)
    for cup in book.cups:
        yield drawing.cup("d", cup, cup.needs.to("mL").value)


def _of_a_syringe(tool: Instrument, volume: Fraction) -> Iterator[drawing.Figure]:
    if tool.kind is not Kind.SYRINGE:
        return
    for share in (Fraction(1, 20), Fraction(9, 10)):
        yield drawing.syringe("d", tool, volume, "here", bubble=volume * share)
    yield drawing.life_size("d", tool, volume, line_words(tool, volume))
    if drawing.can_trim(tool, volume):
        yield drawing.trim("d", tool, volume, line_words(tool, volume))
