"""Made-up codes for property tests: any value that the dictionary allows, and items whose fields go together."""

from datetime import date

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st

from drawndose.reference.codes.check_digits import CHARACTERS_82, check_digit, check_pair
from drawndose.reference.codes.dictionary import SETS, Identifier, Part, dictionary
from drawndose.reference.codes.elements import Element, Elements, faults, pairing

YEAR = 2026
UNHURRIED = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
"""For a machine that does other work beside: time is measured elsewhere."""

BOOK = dictionary()
IDENTIFIERS = sorted(BOOK.identifiers.values(), key=lambda one: one.ai)
DIGITS = "0123456789"
ON_MEDICINES = (
    "10",
    "11",
    "13",
    "15",
    "16",
    "17",
    "20",
    "21",
    "22",
    "240",
    "30",
    "7003",
    "715",
    "3103",
    "91",
    "400",
    "422",
)


def _digits(length: int) -> st.SearchStrategy[str]:
    return st.text(alphabet=DIGITS, min_size=length, max_size=length)


def _piece(part: Part) -> st.SearchStrategy[str]:
    rules = set(part.rules)
    length = st.integers(part.least, part.most)
    if "csum" in rules:
        return _digits(part.most - 1).map(lambda data: data + check_digit(data))
    if "csumalpha" in rules:
        key = st.tuples(_digits(4), st.text(alphabet=CHARACTERS_82, max_size=part.most - 7))
        return key.map(lambda two: two[0] + "a" + two[1]).map(lambda data: data + check_pair(data))
    if rules & {"yymmd0", "yymmdd"}:
        # Days of this century only: the two digits of a year outside the window would come back as another day.
        days = st.dates(date(YEAR - 48, 1, 1), date(YEAR + 49, 12, 31)).map(lambda day: f"{day:%y%m%d}")
        return st.one_of(days, days.map(lambda text: text[:4] + "00")) if "yymmd0" in rules else days
    if "yyyymmdd" in rules:
        return st.dates(date(1900, 1, 1), date(2100, 12, 31)).map(lambda day: f"{day.year:04}{day:%m%d}")
    if "pieceoftotal" in rules:
        return st.tuples(st.integers(1, 99), st.integers(1, 99)).map(lambda two: f"{min(two):02}{max(two):02}")
    if "posinseqslash" in rules:
        return st.tuples(st.integers(1, 9), st.integers(1, 9)).map(lambda two: f"{min(two)}/{max(two)}")
    patterns = [BOOK.contents[rule].pattern for rule in part.rules if rule in BOOK.contents]
    alphabet = "".join(sorted(SETS[part.set][0]))
    if patterns and part.most <= 10:
        return st.from_regex(patterns[0], fullmatch=True, alphabet=alphabet).filter(
            lambda text: part.least <= len(text) <= part.most
        )
    if "key" in rules:
        return st.tuples(_digits(4), st.text(alphabet=alphabet, max_size=part.most - 4)).map("".join)
    if part.set == "Z":
        alphabet = alphabet.replace("=", "")
    if "pcenc" in rules:
        alphabet = alphabet.replace("%", "")
    if "nozeroprefix" in rules:
        return st.integers(1, 10**part.most - 1).map(str)
    return length.flatmap(lambda size: st.text(alphabet=alphabet, min_size=size, max_size=size))


@st.composite
def values(draw: st.DrawFn, identifier: Identifier) -> str:
    """A value that is right for an identifier; pieces that may be missing are there or not."""
    kept = [part for part in identifier.parts if not part.optional]
    optional = [part for part in identifier.parts if part.optional]
    kept += optional[: draw(st.integers(0, len(optional)))]
    return "".join(draw(_piece(part)) for part in kept)


@st.composite
def elements(draw: st.DrawFn, identifiers: list[Identifier] | None = None) -> Element:
    """One right element."""
    identifier = draw(st.sampled_from(identifiers or IDENTIFIERS))
    made = Element(identifier, draw(values(identifier)))
    assert faults(made, year=YEAR) == (), made
    return made


@st.composite
def items(draw: st.DrawFn, names: tuple[str, ...] = (), most: int = 5) -> Elements:
    """The elements of one item that go together, in any order; a GTIN is among them."""
    pool = [BOOK.identifiers[name] for name in names] or IDENTIFIERS
    chosen = draw(st.lists(st.sampled_from(pool), max_size=most, unique_by=lambda one: one.ai))
    made: Elements = (draw(elements([BOOK.identifiers["01"]])),)
    for identifier in chosen:
        if identifier.ai == "01":
            continue
        one = draw(elements([identifier]))
        if not pairing((*made, one)):
            made = (*made, one)
    return tuple(draw(st.permutations(made)))
