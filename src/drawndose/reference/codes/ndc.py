"""National Drug Code: labeler, product and package. Ten digits in three layouts, eleven in one, twelve in one.

Ten digits without hyphens do not say where one segment ends, and no list is kept here, so they are never split: the ways are
shown. Eleven digits (5-4-2) are made from ten by a zero before the short segment, which is not always the first; the way
back is known only when one segment alone begins with 0.

Sources: 21 CFR 207.33(b) and the HIPAA layout of eleven digits, secondary; FDA final rule on the twelve-digit layout, 91 FR
10749 (effective 7 March 2033), read; the NDC inside a GTIN (03, ten digits), part read and part from memory.
"""

import re
from dataclasses import dataclass

from drawndose.quantities import Fault, Refused
from drawndose.reference.codes.check_digits import check_digit, digits_only, holds

LAYOUT = "the segments are not of a known layout"
NOT_AN_NDC = "it is not an NDC"
NO_NDC = "the GTIN does not hold an NDC"
NO_TEN = "no ten-digit NDC becomes this one"

Layout = tuple[int, int, int]
OF_TEN: tuple[Layout, ...] = ((4, 4, 2), (5, 3, 2), (5, 4, 1))
OF_ELEVEN: Layout = (5, 4, 2)
OF_TWELVE: Layout = (6, 4, 2)
LAYOUTS: tuple[Layout, ...] = (*OF_TEN, OF_ELEVEN, OF_TWELVE)
TWELVE_FROM = 2033
"""The year from whose 7 March on labels carry twelve digits."""

_HYPHENATED = re.compile(r"([0-9]+)-([0-9]+)-([0-9]+)", re.ASCII)
_ACCEPTED = "4-4-2, 5-3-2 or 5-4-1 digits with hyphens; 11 digits (5-4-2) or 12 (6-4-2) with or without"


@dataclass(frozen=True, slots=True)
class Ndc:
    """The three segments. ValueError for segments that are no digits, or whose lengths are no known layout."""

    labeler: str
    product: str
    package: str

    def __post_init__(self) -> None:
        if self.layout not in LAYOUTS or not digits_only(self.digits):
            raise ValueError(f"{self} has no known layout")

    @property
    def layout(self) -> Layout:
        """The lengths of the segments."""
        return (len(self.labeler), len(self.product), len(self.package))

    @property
    def digits(self) -> str:
        """The digits without hyphens."""
        return f"{self.labeler}{self.product}{self.package}"

    def __str__(self) -> str:
        """With hyphens: 12345-678-90."""
        return f"{self.labeler}-{self.product}-{self.package}"


def read(text: str, *, field: str = "ndc") -> tuple[Ndc, ...]:
    """Every NDC that the text can mean: one with hyphens or of 11 or 12 digits, three of ten digits without. Refused else.

    >>> [str(one) for one in read("1234567890")]
    ['1234-5678-90', '12345-678-90', '12345-6789-0']
    """
    plain = text.strip(" ")
    if found := _HYPHENATED.fullmatch(plain):
        lengths = tuple(len(segment) for segment in found.groups())
        if lengths not in LAYOUTS:
            told = "-".join(map(str, lengths))
            raise Refused([Fault(field=field, rule=LAYOUT, came=f"{plain} ({told})", accepted=_ACCEPTED)])
        return (Ndc(*found.groups()),)
    by_length = {10: OF_TEN, 11: (OF_ELEVEN,), 12: (OF_TWELVE,)}
    if not digits_only(plain) or len(plain) not in by_length:
        raise Refused([Fault(field=field, rule=NOT_AN_NDC, came=plain, accepted=_ACCEPTED)])
    return tuple(split(plain, layout) for layout in by_length[len(plain)])


def write(ndc: Ndc) -> str:
    """With hyphens, which alone keep the segments."""
    return str(ndc)


def split(digits: str, layout: Layout) -> Ndc:
    """Digits by a layout that is known from elsewhere. ValueError when they are not so many."""
    first, second, third = layout
    if len(digits) != first + second + third:
        raise ValueError(f"{digits} does not have the digits of {layout}")
    return Ndc(digits[:first], digits[first : first + second], digits[first + second :])


def widened(ndc: Ndc, layout: Layout) -> Ndc:
    """The same code with zeros before each short segment, as 5-4-2 or 6-4-2. ValueError when a segment would have to shrink.

    >>> str(widened(Ndc("1234", "5678", "90"), OF_ELEVEN)), str(widened(Ndc("12345", "678", "90"), OF_ELEVEN))
    ('01234-5678-90', '12345-0678-90')
    """
    if any(have > want for have, want in zip(ndc.layout, layout, strict=True)):
        raise ValueError(f"{ndc} is wider than {layout}")
    return Ndc(*(segment.zfill(length) for segment, length in zip(_segments(ndc), layout, strict=True)))


def narrowed(ndc: Ndc) -> tuple[Ndc, ...]:
    """The ten-digit codes that become this one of eleven or twelve digits; several when several segments begin with 0.

    Refused when there is none: it was given out with more than ten digits, or is mistyped.
    """
    found = []
    for layout in OF_TEN:
        segments = [segment[-length:] for segment, length in zip(_segments(ndc), layout, strict=True)]
        one = Ndc(*segments) if tuple(map(len, segments)) == layout else None
        if one is not None and widened(one, ndc.layout) == ndc:
            found.append(one)
    if not found:
        raise Refused([Fault(field="ndc", rule=NO_TEN, came=str(ndc), accepted="a segment that begins with 0")])
    return tuple(found)


def _segments(ndc: Ndc) -> tuple[str, str, str]:
    return (ndc.labeler, ndc.product, ndc.package)


def gtin14(ten: str, indicator: int = 0) -> str:
    """The GTIN of ten NDC digits. indicator: 0 the unit of sale, 1 to 8 a level of packaging. ValueError for other input.

    >>> gtin14("1234567890"), gtin14("1234567890", 5)
    ('00312345678906', '50312345678901')
    """
    if not digits_only(ten) or len(ten) != 10 or indicator not in range(10):
        raise ValueError(f"ten digits and an indicator from 0 to 9 are needed (got {ten!r}, {indicator!r})")
    data = f"{indicator}03{ten}"
    return data + check_digit(data)


def gtin12(ten: str) -> str:
    """The GTIN of twelve digits of ten NDC digits, as a linear code for the shop holds it."""
    return gtin14(ten)[2:]


def in_gtin(gtin: str) -> str:
    """The ten NDC digits inside a GTIN of 12 or 14 digits, without hyphens. Refused when it holds none or its check digit fails.

    >>> in_gtin("00312345678906")
    '1234567890'
    """
    full = gtin.zfill(14) if digits_only(gtin) else gtin
    if not holds(full) or len(full) != 14 or full[1:3] != "03":
        accepted = "an indicator, 03, ten digits and the check digit"
        raise Refused([Fault(field="gtin", rule=NO_NDC, came=gtin, accepted=accepted)])
    return full[3:13]


def agrees(ndc: Ndc, gtin: str) -> bool:
    """False when a GTIN holds ten NDC digits and they are not this NDC's. A true one of twelve digits is in no GTIN."""
    try:
        ten = in_gtin(gtin)
    except Refused:
        return True
    try:
        return ten in {one.digits for one in narrowed(ndc)}
    except Refused:
        return ndc.layout == OF_TWELVE
