"""What lots of known strength come to when they are mixed: the sum of (amount × strength) ÷ the sum of the amounts.

A lot of diluent or base is a lot of 0 %. Two drugs in one cup dilute each other: each is in the whole volume.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from drawndose.bench.sums.given import only_one, read
from drawndose.bench.sums.inputs import INPUTS
from drawndose.bench.sums.quantity_words import other_forms, plus, tell
from drawndose.bench.sums.shape import Result, Stated, Sum, Value, Worked, WrongWay
from drawndose.bench.sums.strengths import in_basis, read_stated
from drawndose.quantities import Fault, Quantity, Refused, read_quantity, unit

_LETTERS = "abcd"
_LOT = re.compile(r"(?P<amount>.+?)\s+(?:of(?:\s+an?)?|at)\s+(?P<what>.+)", re.IGNORECASE)
_NOTHING = re.compile(
    r"(?:pure |plain )?(?:water|diluent|base|saline|solvent|petrolatum|ointment base|vehicle)", re.IGNORECASE
)
_LETTERED = tuple(f"{what}_{x}" for x in _LETTERS for what in ("volume", "mass", "strength"))


@dataclass(frozen=True, slots=True)
class _Lot:
    """One lot: how much, how strong (nothing where it only dilutes), and its letter or place."""

    amount: Quantity
    strength: Stated | None
    name: str


def _lots(this: Sum, given: dict[str, str], values: dict[str, Value], of: str) -> list[_Lot]:
    found: list[_Lot] = []
    faults: list[Fault] = []
    for place, piece in enumerate(
        re.split(r"(?:\s*[,;]\s*(?:and\s+)?|\s+(?:and|plus|with)\s+)(?=[0-9])", given["lots"])
        if "lots" in given
        else []
    ):
        try:
            found.append(_lot(piece, str(place + 1), of))
        except Refused as refused:
            faults += refused.faults
    for x in _LETTERS:
        amount, strength = values.get(f"volume_{x}", values.get(f"mass_{x}")), values.get(f"strength_{x}")
        if isinstance(amount, Quantity):
            found.append(_Lot(amount, strength if isinstance(strength, Stated) else None, x))
        elif strength is not None:
            faults.append(Fault(field=f"strength_{x}", rule="a strength of no amount", came=x, accepted=f"volume_{x}"))
    if len(found) < 2 or all(lot.strength is None for lot in found):
        came = ", ".join(f"{name} {text}" for name, text in given.items()) or "nothing"
        rule = "at least two lots, one of them with a strength"
        faults.append(Fault(field=this.kind, rule=rule, came=came, accepted=INPUTS["lots"].accepts))
    if len({lot.amount.dimension for lot in found}) > 1:
        rule = "lots by mass and lots by volume do not add without a density"
        faults.append(Fault(field=this.kind, rule=rule, came=", ".join(given.values()), accepted="one of the two"))
    if faults:
        raise Refused(faults)
    return found


def _lot(piece: str, name: str, of: str) -> _Lot:
    found = _LOT.fullmatch(piece.strip())
    if found is None:
        raise Refused([Fault(field="lots", rule="a lot is so much of so strong", came=piece, accepted="200 g of 10 %")])
    amount = read_quantity(found["amount"], field="lots", kg="kilogram")
    if amount.dimension not in {(("mass", 1),), (("volume", 1),)}:
        raise Refused([Fault(field="lots", rule="a lot is a mass or a volume", came=piece, accepted="200 g of 10 %")])
    if _NOTHING.fullmatch(found["what"]):
        return _Lot(amount, None, name)
    what = re.sub(r"\s+(?:solution|ointment|cream|alcohol)$", "", found["what"], flags=re.IGNORECASE)
    return _Lot(amount, read_stated(what, "lots", of), name)


def _shares(lots: list[_Lot], of: str) -> list[Quantity]:
    """Every strength in one basis: a bare share where all are shares, else an amount in a volume."""
    stated = [lot.strength for lot in lots if lot.strength is not None]
    by_volume = any(one.basis == "amount" for one in stated)
    ratios = [in_basis(one, "volume" if by_volume else "share", of).ratio for one in stated]
    nothing = Quantity(Fraction(0), ratios[0].unit, ratios[0].of)
    given = iter(ratios)
    return [nothing if lot.strength is None else next(given) for lot in lots]


def _percent(this: Sum, given: dict[str, str], of: str, asked: str) -> Worked:
    del asked
    only_one(given, *((f"volume_{x}", f"mass_{x}") for x in _LETTERS))
    lots = _lots(this, given, read(this.inputs, given, of), of)
    whole, held, lines = lots[0].amount * 0, None, []
    shares = _shares(lots, of)
    for lot, share in zip(lots, shares, strict=True):
        part = lot.amount * share
        lines.append(f"{tell(lot.amount)} × {_spelled(share)} = {tell(part)}")
        held = part if held is None else plus(held, part)
        whole = plus(whole, lot.amount)
    assert held is not None
    made = held / whole
    lines.append(f"{tell(held)} in {tell(whole)} = {_spelled(made)}")
    mean = sum((share.base for share in shares), Fraction(0)) / len(shares)
    wrong = (
        WrongWay(
            "plain mean",
            "the strengths averaged without their amounts",
            _shown(Quantity(mean / made.unit.factor, made.unit, made.of)),
        ),
    )
    result = Result("strength", "final strength", _shown(made), other_forms(_shown(made)))
    return Worked(this.kind, (result,), tuple(lines), wrong if mean != made.base else ())


def _shown(made: Quantity) -> Quantity:
    return Quantity(made.base * 100, unit("%")) if made.dimension == () else made


def _spelled(made: Quantity) -> str:
    return tell(_shown(made))


def _strength(this: Sum, given: dict[str, str], of: str, asked: str) -> Worked:
    only_one(given, *((f"volume_{x}", f"mass_{x}") for x in _LETTERS))
    lots = _lots(this, given, read(this.inputs, given, of), of)
    whole = lots[0].amount
    for lot in lots[1:]:
        whole = plus(whole, lot.amount)
    lines = [" + ".join(tell(lot.amount) for lot in lots) + f" = {tell(whole)}"]
    results, wrong = [], []
    basis = "volume" if whole.dimension == (("volume", 1),) else "share"
    for lot in lots:
        if lot.strength is None:
            continue
        stated = in_basis(lot.strength, basis, of)
        held = stated.ratio * lot.amount
        made = held / whole
        lines += [
            stated.line,
            f"{tell(stated.ratio)} × {tell(lot.amount)} = {tell(held)}",
            f"{tell(held)} in {tell(whole)} = {tell(made)}",
        ]
        results.append(
            Result(lot.name, f"strength of drug {lot.name.upper()} in the mixture", _shown(made), other_forms(made))
        )
        wrong.append(WrongWay("dilution left out", f"{tell(stated.ratio)} as before mixing", _shown(stated.ratio)))
    first = next((place for place, one in enumerate(results) if f"drug {one.name}" in asked.lower()), 0)
    ordered = (results[first], *results[:first], *results[first + 1 :])
    return Worked(this.kind, ordered, tuple(line for line in lines if line), (wrong[first],))


_TAKEN = tuple(INPUTS[name] for name in ("lots", *_LETTERED))
KINDS = (
    Sum("mixture_percent", "Lots mixed together", "the final strength", _TAKEN, _percent),
    Sum("mixture_strength", "Two drugs in one cup", "the strength of each in the mixture", _TAKEN, _strength),
)
