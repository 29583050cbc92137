"""Strengths as people state them in a sum: percent, ratio, amount in a volume, parts per million, molar.

Wider than the strengths of a label: a sum may be about volume in volume, weight in weight or a substance in a base.
A percent w/v is g in 100 mL; a ratio 1:n is 1 part in n parts of the whole, 1 g in n mL.

Source: the conventions are those of the published worked examples shipped with the project.
"""

import re
from fractions import Fraction

from drawndose.bench.sums.shape import Stated
from drawndose.quantities import (
    Fault,
    Quantity,
    Refused,
    read_number,
    read_quantity,
    read_strength,
    show,
    show_number,
    unit,
)
from drawndose.quantities.numbers import NUMBER

ACCEPTED = "0.5 %, 70 % v/v, 12 % w/w, 1:1000, 5 mg/mL, 80 mg per 2 mL, 3 mEq/mL, 5 ppm, 0.15 mol/L"
_BASIS = r"(?:\(?\s*(?P<basis>[wv]\s?/\s?[wv])\s*\)?)?"
_NUMBER = rf"[0-9]+/[0-9]+|{NUMBER}"
_PERCENT = re.compile(rf"(?P<n>{_NUMBER})\s*(?:%|percent)\s*{_BASIS}", re.IGNORECASE)
_RATIO = re.compile(
    rf"(?P<one>{NUMBER})\s*(?:parts?\s*)?(?::|in)\s*(?P<n>{NUMBER})\s*(?:parts?)?\s*(?:ratio)?\s*{_BASIS}",
    re.IGNORECASE,
)
_PPM = re.compile(rf"(?P<n>{_NUMBER})\s*(?:ppm|parts per million)\s*{_BASIS}", re.IGNORECASE)
_MOLAR = re.compile(rf"(?P<n>{_NUMBER})\s*(?P<milli>m?)M")
_MASS_PERCENT = re.compile(rf"(?P<amount>(?:{_NUMBER})\s*(?:mg|mcg|g))\s*%", re.IGNORECASE)
_PER = re.compile(
    rf"(?P<amount>(?:{_NUMBER})\s*[^0-9\s/][^/]*?)\s*(?:/|\bper\b|\bin\b(?:\s+each\b)?)\s*(?P<per>.+)", re.IGNORECASE
)
_PURE = {"pure", "pure drug", "undiluted"}


def read_stated(text: str, field: str, of: str) -> Stated:
    """Read a strength in any of its forms. Raises Refused."""
    plain = " ".join(text.split())
    if plain.lower() in _PURE:
        plain = "100 %"
    if found := _PERCENT.fullmatch(plain):
        return _share(plain, read_number(found["n"], field=field) / 100, found["basis"], field, of)
    if found := _PPM.fullmatch(plain):
        return _share(plain, read_number(found["n"], field=field) / 10**6, found["basis"], field, of)
    if found := _RATIO.fullmatch(plain):
        return _ratio(plain, found, field, of)
    if found := _MOLAR.fullmatch(plain):
        ratio = Quantity(read_number(found["n"], field=field), unit(f"{found['milli']}mol/L"), ((of, 1),))
        return Stated(plain, ratio, "amount", f"{plain} = {show(ratio)}")
    if found := _MASS_PERCENT.fullmatch(plain):
        return per_volume(plain, found["amount"], "100 mL", field, of)
    if "(" in plain:
        return Stated(plain, read_strength(plain, field=field, of=of).ratio, "amount")
    if found := _PER.fullmatch(plain):
        return per_volume(plain, found["amount"], found["per"], field, of)
    raise Refused(
        [Fault(field=field, rule="a strength is an amount in a volume, or a share", came=plain, accepted=ACCEPTED)]
    )


def _ratio(plain: str, found: re.Match[str], field: str, of: str) -> Stated:
    one, whole = read_number(found["one"], field=field), read_number(found["n"], field=field)
    if whole == 0 or one == 0 or one > whole:
        rule = "a ratio strength is so many parts in at least as many parts of the whole"
        raise Refused([Fault(field=field, rule=rule, came=plain, accepted="1:1000, 1:4, 2:5")])
    return _share(plain, one / whole, found["basis"], field, of)


def _share(plain: str, share: Fraction, basis: str | None, field: str, of: str) -> Stated:
    kind = (basis or "bare").lower().replace(" ", "")
    if share > 1 and kind != "w/v":
        rule = "a share is not more than the whole"
        raise Refused([Fault(field=field, rule=rule, came=plain, accepted="at most 100 %")])
    return in_basis(
        Stated(plain, Quantity(share, unit("")), kind), "volume" if kind in {"w/v", "bare"} else "share", of
    )


def in_basis(stated: Stated, wanted: str, of: str) -> Stated:
    """A share read for a volume (1 % is 10 mg per mL) or for a mass (1 % is 1 g in 100 g); others stay as they are."""
    if stated.basis == "amount":
        return stated
    mass = (("mass", 1), ("volume", -1))
    share = stated.ratio.base / 1000 if stated.ratio.dimension == mass else stated.ratio.base
    letters = stated.basis if stated.basis != "bare" else ""
    plain = stated.text if not letters or "/" in stated.text else f"{stated.text} {letters}"
    if wanted == "volume":
        ratio = Quantity(share * 1000, unit("mg/mL"), ((of, 1),))
        return Stated(
            stated.text, ratio, stated.basis, f"{plain} = {_spelled(plain, share, 'g', 'mL')} = {show(ratio)}"
        )
    percent = Quantity(share * 100, unit("%"))
    units = ("mL", "mL") if stated.basis == "v/v" else ("g", "g")
    line = f"{plain} = {_spelled(plain, share, *units)}" if stated.basis != "bare" or "%" not in plain else ""
    return Stated(stated.text, percent, stated.basis, line)


def _spelled(plain: str, share: Fraction, part: str, whole: str) -> str:
    """So many in 100 for a percent, 1 in so many for a ratio."""
    if "%" not in plain and share.numerator == 1:
        return f"1 {part} in {show_number(Fraction(share.denominator))} {whole}"
    return f"{show_number(share * 100)} {part} in 100 {whole}"


def per_volume(plain: str, amount_text: str, per_text: str, field: str, of: str) -> Stated:
    """An amount in a volume (or for a drop, a puff, a dose). Raises Refused with the faults of both sides."""
    faults: list[Fault] = []
    sides: list[Quantity] = []
    for text, named in ((amount_text, of), (per_text if per_text[:1].isdigit() else f"1 {per_text}", None)):
        try:
            sides.append(read_quantity(text, field=field, of=named, kg="kilogram"))
        except Refused as refused:
            faults += refused.faults
    if faults:
        raise Refused(faults)
    amount, per = sides
    if per.value == 0 or per.dimension == amount.dimension == ():
        raise Refused([Fault(field=field, rule="a strength in nothing is no strength", came=plain, accepted=ACCEPTED)])
    ratio = amount / per
    if ratio.dimension == ():
        basis = "v/v" if per.dimension == (("volume", 1),) else "w/w"
        return Stated(plain, Quantity(ratio.base, unit("")), basis, "")
    same_words = per.value == 1
    return Stated(plain, ratio, "amount", "" if same_words else f"{show(amount)} in {show(per)} = {show(ratio)}")


_STEP = re.compile(
    rf"(?P<volume>(?:{NUMBER})\s*\w+)\s+of\s+(?P<strength>.+?)\s*,?\s+"
    rf"(?P<how>plus|and|with|added to|in|(?:made|diluted)?\s*(?:up\s+)?to(?:\s+a\s+total\s+of)?)\s+"
    rf"(?P<other>(?:{NUMBER})\s*\w+)(?:\s+(?:of\s+)?[a-z][a-z ]*)?",
    re.IGNORECASE,
)
_THAT = {"that", "this", "it"}
_ADDED = {"plus", "and", "with", "added to"}


def read_step(text: str, field: str, of: str) -> Stated:
    """The strength that one or more dilution steps make: "1 mL of 1:10000 plus 9 mL saline; 1 mL of that made up to 10 mL".

    "plus" adds the volume; "made up to" and "to" name the whole. "in" could be either and is refused.
    """
    made: Stated | None = None
    lines: list[str] = []
    for piece in re.split(r"\s*(?:;|\bthen\b)\s*", text):
        found = _STEP.fullmatch(piece.strip())
        how = " ".join(found["how"].lower().split()) if found else ""
        if found is None or how == "in":
            rule = "a step says how much of what, and either plus how much or made up to how much"
            accepted = "1 mL of 1:10000 plus 9 mL saline; 1 mL of 1:1000 made up to 10 mL"
            raise Refused([Fault(field=field, rule=rule, came=piece, accepted=accepted)])
        if made is not None and found["strength"].lower() not in _THAT:
            raise Refused(
                [
                    Fault(
                        field=field,
                        rule="each step takes what the one before made",
                        came=piece,
                        accepted=f"1 mL of that {how} 10 mL",
                    )
                ]
            )
        before = made or read_stated(found["strength"], field, of)
        taken, other = (read_quantity(found[name], field=field) for name in ("volume", "other"))
        whole = taken + other if how in _ADDED else other
        if whole < taken or whole.value == 0:
            rule = "the whole cannot be less than what is put into it"
            raise Refused([Fault(field=field, rule=rule, came=piece, accepted="1 mL of 1:1000 made up to 10 mL")])
        after = before.ratio * taken / whole
        lines += [before.line, f"{show(taken)} of {show(before.ratio)} in {show(whole)} = {show(after)}"]
        made = Stated(piece, after, "amount")
    assert made is not None
    return Stated(text, made.ratio, "amount", "; ".join(line for line in lines if line))
