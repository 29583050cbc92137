"""The drawn edge is at the right millimetre: 1,000 random lines of all instruments, each worked out again from the data."""

import re
from fractions import Fraction
from random import Random

from drawndose.bench import drawing
from drawndose.reference import Instrument, Kind, load
from tests.bench.drawing.seen import CLOSE, every_line, lines

HOW_MANY = 1_000


def random_lines(seed: int, *, known: bool) -> list[tuple[Instrument, Fraction]]:
    """Lines of all instruments alike, or of those whose scale has a known length."""
    chance = Random(seed)
    tools = [tool for tool in load().measures if tool.scale_length is not None or not known]
    return [(tool, chance.choice(every_line(tool))) for tool in chance.choices(tools, k=HOW_MANY)]


def test_the_drawn_edge_is_at_the_right_millimetre() -> None:
    """A height on the page is turned into millimetres of the instrument by its two outermost drawn marks."""
    seen: set[Kind] = set()
    for tool, volume in random_lines(1, known=False):
        # Without a known length the scale counts as one of 100 mm: the share is checked, and no millimetre is claimed.
        length = tool.scale_length or Fraction(100)
        made = drawing.filled("d", tool, volume, "here")
        marks = lines(made.svg, "mark")
        (first, start), (last, end) = marks[0], marks[-1]
        pixels_per_mm = (end - start) / ((last - first) * length / tool.capacity)
        [(stands_for, edge)] = lines(made.svg, "edge")
        drawn_mm = first * length / tool.capacity + (edge - start) / pixels_per_mm
        assert stands_for == volume
        assert abs(drawn_mm - volume * length / tool.capacity) <= CLOSE / abs(pixels_per_mm)
        seen.add(tool.kind)
    assert seen == set(Kind)


def test_on_paper_the_drawn_edge_is_at_the_right_millimetre_of_the_sheet() -> None:
    """Nothing is taken from the marks here: the sheet's own millimetres are counted from the zero mark."""
    tried = 0
    for tool, volume in random_lines(2, known=True):
        if tool.kind is not Kind.SYRINGE:
            continue
        made = drawing.alone(drawing.life_size("d", tool, volume, "here"))
        size = re.search(r'viewBox="-4 -4 (\S+) (\S+)" width="(\S+)mm" height="(\S+)mm"', made)
        assert size is not None
        wide, high, wide_mm, high_mm = (Fraction(one) for one in size.groups())
        mm = high_mm / high
        assert mm == wide_mm / wide == Fraction(1, 4)
        zero = dict(lines(made, "mark"))[Fraction(0)]
        [(_, edge)] = lines(made, "edge")
        assert tool.scale_length is not None
        assert abs((edge - zero) * mm - volume * tool.scale_length / tool.capacity) <= CLOSE * mm
        tried += 1
    assert tried > HOW_MANY * 9 // 10


def test_a_planted_slip_of_half_a_pixel_is_caught() -> None:
    tool = load().instrument("syringe-3")
    made = drawing.filled("d", tool, Fraction(2, 5), "here").svg
    moved = re.sub(r'(<line class="edge"[^>]*)y1="([^"]+)"([^>]*)y2="([^"]+)"', _half_a_pixel_lower, made)
    (first, start), (last, end) = lines(moved, "mark")[0], lines(moved, "mark")[-1]
    [(volume, edge)] = lines(moved, "edge")
    assert abs(edge - (start + (volume - first) * (end - start) / (last - first))) > CLOSE


def _half_a_pixel_lower(found: re.Match[str]) -> str:
    lower = [str(float(Fraction(found[place]) + Fraction(1, 2))) for place in (2, 4)]
    return f'{found[1]}y1="{lower[0]}"{found[3]}y2="{lower[1]}"'


def test_the_bore_holds_what_the_scale_says() -> None:
    """A cylinder as wide as the drawn barrel and as long as the scale holds the capacity: pi / 4 * bore^2 * length."""
    pi = Fraction(314159265, 100_000_000)
    for tool in load().measures:
        if tool.kind is not Kind.SYRINGE:
            continue
        made = drawing.life_size("d", tool, tool.capacity, "here").svg
        walls = sorted({Fraction(x) for x in re.findall(r'<line class="outline" x1="([^"]+)" y1="54"', made)})
        bore = (walls[-1] - walls[0]) / 4
        assert tool.scale_length is not None
        assert abs(pi / 4 * bore**2 * tool.scale_length / 1_000 / tool.capacity - 1) < Fraction(1, 200)


def test_the_rule_on_paper_is_50_mm_and_says_what_it_is_for() -> None:
    tool = load().instrument("syringe-1")
    made = drawing.life_size("d", tool, Fraction(13, 25), "here")
    rule = made.svg[made.svg.index('<g class="rule">') :]
    found = re.search(r'<line class="outline" x1="(\S+)" y1="\S+" x2="(\S+)"', rule)
    assert found is not None
    assert (Fraction(found[2]) - Fraction(found[1])) / 4 == 50
    assert "If this is not 50 mm the page was scaled: do not compare with a real syringe." in made.words
    assert "57\u00a0mm long (from memory: ISO 7886-1:1993, Table 1, least scale length" in made.words[1]


def test_without_its_rule_a_drawing_of_life_size_is_the_same_in_less_room() -> None:
    """For a page that carries one rule for all of its drawings: nothing moves, and nothing is cut off below or beside."""
    for tool in load().measures:
        if tool.kind is not Kind.SYRINGE:
            continue
        for volume in (tool.step, tool.capacity):
            whole, alone = (drawing.life_size("d", tool, volume, "here", ruled=ruled) for ruled in (True, False))
            assert "rule" not in alone.svg
            assert whole.words == alone.words
            (wide, high), (wider, higher) = (size(one.svg) for one in (alone, whole))
            assert (wide < wider, high < higher) == (True, True)
            inner = alone.svg[alone.svg.index(">") + 1 : alone.svg.rindex("</svg>")]
            assert inner in whole.svg
            assert all(Fraction(x) <= wide for x in re.findall(r' x[12]?="([0-9.]+)"', inner))
            assert all(Fraction(y) <= high for y in re.findall(r' y[12]?="([0-9.]+)"', inner))


def size(svg: str) -> tuple[Fraction, Fraction]:
    found = re.search(r'viewBox="0 0 (\S+) (\S+)"', svg)
    assert found is not None
    return Fraction(found[1]), Fraction(found[2])
