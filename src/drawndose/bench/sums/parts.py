"""Parts to parts, and one part in so many: 1:4 as parts is 1 and 4 (5 in all); 1 in 4 is 1 in 4 of the whole.

The two are mixed up often enough that the working says which was read, and the other reading is the first wrong way.
The solubility of a substance in parts is mL of solvent (1 mL of water taken as 1 g) for each g.
"""

import re
from fractions import Fraction

from drawndose.bench.sums.given import read
from drawndose.bench.sums.inputs import INPUTS
from drawndose.bench.sums.quantity_words import tell
from drawndose.bench.sums.shape import Result, Sum, Worked, WrongWay
from drawndose.bench.sums.working import Family, Rule, Slip, Want
from drawndose.quantities import Fault, Quantity, Refused, read_number, show_number

_PARTS = re.compile(r"[0-9][0-9.,]*(?:\s*:\s*[0-9][0-9.,]*)+")
_IN_WHOLE = re.compile(r"\b(?:in|of the (?:total|whole)|out of)\b", re.IGNORECASE)
_TAKEN = ("ratio", "final_volume", "final_mass", "part")


def _read_ratio(text: str) -> tuple[list[Fraction], bool]:
    """The figures, and whether the last one is the whole ("1 in 4", "1 part in 4 of the total")."""
    found = _PARTS.search(text)
    if found:
        figures = [read_number(piece.strip().rstrip(","), field="ratio") for piece in found[0].split(":")]
        in_whole = bool(_IN_WHOLE.search(text[found.end() :]))
    else:
        pair = re.fullmatch(r"\s*([0-9.]+)\s*(?:parts?\s*)?in\s*([0-9.]+).*", text)
        if pair is None:
            rule = "a ratio is figures with colons, and may say how it is read"
            raise Refused([Fault(field="ratio", rule=rule, came=text, accepted=INPUTS["ratio"].accepts)])
        figures, in_whole = [read_number(one, field="ratio") for one in pair.groups()], True
    if 0 in figures or (in_whole and (len(figures) != 2 or figures[0] > figures[1])):
        raise Refused([Fault(field="ratio", rule="no such parts", came=text, accepted="1:4, 2:3:5, 1 in 4")])
    return figures, in_whole


def _work(this: Sum, given: dict[str, str], of: str, asked: str) -> Worked:
    values = read(this.inputs, given, of)
    amounts = [(name, value) for name, value in values.items() if isinstance(value, Quantity)]
    if "ratio" not in given or len(amounts) != 1:
        came = ", ".join(f"{name} {text}" for name, text in given.items()) or "nothing"
        rule = "a ratio and one amount are needed: the whole, or the first part"
        raise Refused([Fault(field=this.kind, rule=rule, came=came, accepted=", ".join(_TAKEN))])
    figures, in_whole = _read_ratio(given["ratio"])
    name, amount = amounts[0]
    whole = figures[-1] if in_whole else sum(figures, Fraction(0))
    each = amount / (figures[0] if name == "part" else whole)
    words = (
        f"{show_number(figures[0])} part in {show_number(whole)} of the whole"
        if in_whole
        else (" + ".join(show_number(one) for one in figures) + f" = {show_number(whole)} parts in all")
    )
    parts = [*figures[:-1], whole - figures[0]] if in_whole else figures
    found = [
        Result(f"part_{place}", f"amount of part {place}", each * figure) for place, figure in enumerate(parts, start=1)
    ]
    found[0] = Result("drug", "amount of the drug part", found[0].value)
    if len(found) == 2:
        found[1] = Result("diluent", "amount of the diluent part", found[1].value)
    results = found if name != "part" else [*found[1:], Result("whole", "the whole", each * whole)]
    lines = [
        words,
        f"{tell(amount)} ÷ {show_number(figures[0] if name == 'part' else whole)} = {tell(each)} for 1 part",
    ]
    lines += [f"{one.says}: {tell(one.value)}" for one in results if isinstance(one.value, Quantity)]
    return Worked(
        this.kind, _first_asked(results, asked), tuple(lines), _other_reading(figures, in_whole, name, amount)
    )


def _first_asked(results: list[Result], asked: str) -> tuple[Result, ...]:
    text = asked.lower()
    words = {
        "diluent": ("diluent part", "volume of diluent", "diluent"),
        "whole": ("total", "whole"),
        "drug": ("drug",),
    }
    for one in results:
        places = [text.find(word) for word in words.get(one.name, (one.says,)) if word in text]
        if places and min(places) == min(
            [text.find(word) for other in results for word in words.get(other.name, ()) if word in text], default=-1
        ):
            return (one, *(other for other in results if other is not one))
    return tuple(results)


def _other_reading(figures: list[Fraction], in_whole: bool, name: str, amount: Quantity) -> tuple[WrongWay, ...]:
    if name == "part" or len(figures) != 2:
        return ()
    other = sum(figures, Fraction(0)) if in_whole else figures[1]
    says = "read as parts to parts" if in_whole else f"read as 1 in {show_number(figures[1])} of the whole"
    return (WrongWay("the other reading of the ratio", says, amount * figures[0] / other),)


_SOLUBLE = Family(
    (
        Rule(
            "water",
            ("mass", "parts_water"),
            lambda mass, parts: (mass * parts).to("mL"),
            "{mass} × {parts_water} = {water}",
        ),
        Rule(
            "dissolved",
            ("volume", "parts_water"),
            lambda volume, parts: (volume / parts).to("g"),
            "{volume} ÷ {parts_water} = {dissolved}",
        ),
    ),
    (
        Slip(
            "water",
            "divided by the parts",
            "{mass} ÷ {parts_water}",
            ("water", "parts_water"),
            lambda water, parts: water / parts.value / parts.value,
        ),
        Slip("water", "factor 1000", "L taken for mL", ("water",), lambda water: water * 1000),
    ),
)

KINDS = (
    Sum("ratio_parts", "Parts to parts", "the amount of each part", tuple(INPUTS[name] for name in _TAKEN), _work),
    _SOLUBLE.kind(
        "solubility_volume",
        "Solvent for a solubility in parts",
        "the volume of solvent",
        Want("water", "volume of solvent", ("mL",)),
        Want("dissolved", "mass that dissolves", ("g",)),
    ),
)
