"""Strengths as printed and as an exact ratio: mass per volume, percent, ratio, units per mL, amount per container.

The printed form is kept, because a rounded percent (0.083 %) is not the amount in the container (2.5 mg in 3 mL).
Percent w/v is grams in 100 mL; percent w/w is grams in 100 g and never becomes the other without a density. A ratio
strength 1:n is 1 g in n mL (one part in n parts of the whole, not one part and n parts).

Source: USP General Notices 8.140 (percentage concentrations), from memory; ratio convention as in the published
worked examples under tests/published.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from drawndose.quantities.faults import Fault, Refused, gather
from drawndose.quantities.numbers import NUMBER, Manner, read_number, show_number
from drawndose.quantities.quantity import Quantity, Unlike
from drawndose.quantities.reading import MOST_CHARACTERS, read_quantity, read_unit, tidy
from drawndose.quantities.units import unit

ACCEPTED = "5 mg/mL, 2.5 mg/3 mL, 2.5 mg in 3 mL, 0.5 %, 1:1,000, 1 in 1,000, 100 units/mL, 2 mEq/mL, 300 mg/vial"
_CASELESS = re.IGNORECASE | re.ASCII
_FRACTION = "[0-9]+/[0-9]+"
_KIND = r"w ?/ ?[vw]"
_MAYBE_KIND = rf"(?:\( ?({_KIND}) ?\)|({_KIND}))?"
_PERCENT = re.compile(rf"({NUMBER}|{_FRACTION})\s*(?:%|percent\b)\s*{_MAYBE_KIND}", _CASELESS)
_RATIO = re.compile(rf"1\s*(?::|in)\s*({NUMBER}|{_FRACTION})\s*(?:ratio)?\s*{_MAYBE_KIND}", _CASELESS)
_ALSO = re.compile(r"(?P<first>[^()]+)\((?P<second>[^()]+)\)")
_PER = re.compile(
    rf"(?P<amount>.+?)\s*(?:(?:/|\bper\b|\bin\b)\s*(?P<per>(?:{NUMBER})?\s*[a-z\u00b5]+)"
    rf"|\bin\b\s*(?P<part>{_FRACTION}\s*[a-z\u00b5]+))",
    _CASELESS,
)

NO_STRENGTH = "a strength is an amount in a volume"
OF_NOTHING = "a strength of nothing is no strength"
IN_NOTHING = "a strength in nothing is no strength"
MASS = (("mass", 1),)
VOLUME = (("volume", 1),)
CONTAINERS = (("containers", 1),)
AMOUNTS = {((name, 1),) for name in ("mass", "units", "USP units", "substance", "equivalents", "osmoles")}


class Form(Enum):
    """How a strength is printed."""

    PER_VOLUME = "amount per volume"
    PERCENT_WV = "percent w/v"
    PERCENT_WW = "percent w/w"
    RATIO = "ratio"
    PER_CONTAINER = "amount per container"


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """An amount of one moiety in a volume, in a mass (w/w) or in a container, with the form it was printed in.

    amount: a Quantity of the moiety; per: a volume, a mass or a container. Unlike for anything else, and for a percent or
    a ratio of anything but a mass. ValueError when either is 0.
    """

    amount: Quantity
    per: Quantity
    form: Form

    def __post_init__(self) -> None:
        wanted = {Form.PERCENT_WW: "mass", Form.PER_CONTAINER: "containers"}.get(self.form, "volume")
        if self.per.dimension != ((wanted, 1),):
            raise Unlike(f"a strength as {self.form.value} is per {wanted} (got {self.per!r})")
        by_mass = self.form in {Form.PERCENT_WV, Form.PERCENT_WW, Form.RATIO}
        if self.amount.dimension not in ({MASS} if by_mass else AMOUNTS):
            raise Unlike(f"a strength as {self.form.value} is an amount of something (got {self.amount!r})")
        if self.per.value == 0:
            raise ValueError(IN_NOTHING)
        if self.amount.value == 0:
            raise ValueError(OF_NOTHING)

    @property
    def ratio(self) -> Quantity:
        """Amount over volume (or mass, or container) as one exact quantity."""
        return self.amount / self.per

    @property
    def moiety(self) -> str | None:
        """What the strength counts: base, or which salt; None where no one said."""
        return self.amount.of[0][0] if self.amount.of else None

    def volume_of(self, dose: Quantity) -> Quantity:
        """The volume that holds a dose of the same moiety. Unlike for another moiety or a strength not by volume."""
        if not dose.like(self.amount) or self.per.dimension != VOLUME:
            raise Unlike(f"{dose!r} cannot be measured out of {self.ratio!r}")
        return (dose / self.ratio).to("mL")

    def amount_in(self, volume: Quantity) -> Quantity:
        """The amount that a volume (or so many containers) holds, in the strength's own unit."""
        if not volume.like(self.per):
            raise Unlike(f"{volume!r} does not hold {self.ratio!r}")
        return (self.ratio * volume).to(str(self.amount.unit))

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Strength):
            return NotImplemented
        return self.form is other.form and self.ratio == other.ratio

    def __hash__(self) -> int:
        return hash((self.form, self.ratio))


def read_strength(
    text: str, *, field: str = "strength", manner: Manner = Manner.DATA, of: str | None = None
) -> Strength:
    """Read a strength as printed. Two forms side by side, "0.5 % (5 mg/mL)", must agree. Raises Refused.

    A percent that is only the other form rounded, "0.083 % (2.5 mg/3 mL)", agrees, and the amount per volume is kept.

    >>> read_strength("0.5 %").ratio == read_strength("5 mg/mL").ratio
    True
    >>> read_strength("0.5 % (50 mg/mL)")  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    drawndose.quantities.faults.Refused: strength: the two strengths disagree, 5 mg/mL against 50 mg/mL. Came: ...
    """
    plain = tidy(text)
    if len(text) > MOST_CHARACTERS:
        rule = f"at most {MOST_CHARACTERS} characters"
        raise Refused([Fault(field=field, rule=rule, came=text, accepted=ACCEPTED)])
    also = _ALSO.fullmatch(plain)
    if also is None or re.fullmatch(_KIND, also["second"].strip(), _CASELESS):
        return _one(plain, field, manner, of)
    faults: list[Fault] = []
    forms: list[Strength] = []
    for text in (also["first"].strip(), also["second"].strip()):
        try:
            forms.append(_one(text, field, manner, of))
        except Refused as refused:
            faults += refused.faults
    gather(faults)
    first, second = forms
    for printed, other, words in ((first, second, also["first"]), (second, first, also["second"])):
        if first.ratio != second.ratio and _is_rounded(words, printed, other):
            return other
    if first.ratio != second.ratio:
        rule = f"the two strengths disagree, {_ratio_text(first)} against {_ratio_text(second)}"
        raise Refused([Fault(field=field, rule=rule, came=plain, accepted="one strength, or two that agree")])
    return first


def _is_rounded(words: str, percent: Strength, amount: Strength) -> bool:
    """True for a printed percent that is the amount per volume rounded to the percent's own digits, half up.

    Labels print 0.083 % beside 2.5 mg in 3 mL (0.08333 %): then the amount is the strength, and the percent its short name.
    """
    if (
        percent.form is not Form.PERCENT_WV
        or amount.form is not Form.PER_VOLUME
        or not percent.amount.like(amount.amount)
    ):
        return False
    decimals = len(words.partition("%")[0].strip().partition(".")[2])
    step = Fraction(1, 10**decimals)
    exact = amount.ratio.over(Quantity.of_text(1, "g", amount.moiety) / Quantity.of_text(100, "mL"))
    return decimals > 0 and (exact / step + Fraction(1, 2)) // 1 * step == percent.amount.value


def _ratio_text(strength: Strength) -> str:
    ratio = strength.ratio
    if ratio.dimension == (("mass", 1), ("volume", -1)):
        ratio = ratio.to("mg/mL")
    return f"{show_number(ratio.value)} {ratio.unit}"


def _one(text: str, field: str, manner: Manner, of: str | None) -> Strength:
    if percent := _PERCENT.fullmatch(text):
        share = read_number(percent[1], field=field, manner=manner)
        return _percent(share, percent[2] or percent[3] or "", text, field, of)
    if ratio := _RATIO.fullmatch(text):
        return _as_ratio(read_number(ratio[1], field=field, manner=manner), ratio[2] or ratio[3] or "", text, field, of)
    if parts := _PER.fullmatch(text):
        return _per(parts["amount"], parts["per"] or parts["part"], text, field, manner, of)
    raise Refused([Fault(field=field, rule=NO_STRENGTH, came=text, accepted=ACCEPTED)])


def _by_mass(kind: str) -> bool:
    return kind.lower().replace(" ", "") == "w/w"


def _percent(share: Fraction, kind: str, text: str, field: str, of: str | None) -> Strength:
    if share == 0:
        raise Refused([Fault(field=field, rule=OF_NOTHING, came=text, accepted=ACCEPTED)])
    amount = Quantity(share, unit("g"), ((of, 1),) if of else ())
    per = Quantity(Fraction(100), unit("g" if _by_mass(kind) else "mL"))
    return Strength(amount=amount, per=per, form=Form.PERCENT_WW if _by_mass(kind) else Form.PERCENT_WV)


def _as_ratio(n: Fraction, kind: str, text: str, field: str, of: str | None) -> Strength:
    faults = []
    if n < 1:
        faults.append(Fault(field=field, rule="a ratio 1:n has n of 1 or more", came=text, accepted="1:1,000"))
    if _by_mass(kind):
        rule = "a ratio strength by weight is not used for a solution here"
        faults.append(Fault(field=field, rule=rule, came=text, accepted="1:1,000 (1 g in 1,000 mL)"))
    gather(faults)
    amount = Quantity(Fraction(1), unit("g"), ((of, 1),) if of else ())
    return Strength(amount=amount, per=Quantity(n, unit("mL")), form=Form.RATIO)


def _per(amount_text: str, per_text: str, text: str, field: str, manner: Manner, of: str | None) -> Strength:
    faults: list[Fault] = []
    amount = per = None
    try:
        amount = read_quantity(amount_text, field=field, manner=manner, of=of)
    except Refused as refused:
        faults += refused.faults
    try:
        per = _read_per(per_text, text, field, manner)
    except Refused as refused:
        faults += refused.faults
    if amount is None or per is None:
        raise Refused(faults)
    if amount.dimension not in AMOUNTS or per.dimension not in {VOLUME, CONTAINERS}:
        raise Refused([Fault(field=field, rule=NO_STRENGTH, came=text, accepted=ACCEPTED)])
    rules = [rule for rule, nothing in ((OF_NOTHING, amount.value == 0), (IN_NOTHING, per.value == 0)) if nothing]
    gather(Fault(field=field, rule=rule, came=text, accepted=ACCEPTED) for rule in rules)
    return Strength(amount=amount, per=per, form=Form.PER_VOLUME if per.dimension == VOLUME else Form.PER_CONTAINER)


def _read_per(per_text: str, text: str, field: str, manner: Manner) -> Quantity:
    """What stands under the stroke: "3 mL", or "mL" alone for one of it."""
    if per_text[0] in "0123456789.":
        return read_quantity(per_text, field=field, manner=manner)
    faults: list[Fault] = []
    found = read_unit(per_text, field=field, came=text, faults=faults)
    if found is None:
        raise Refused(faults)
    return Quantity(Fraction(1), found)
