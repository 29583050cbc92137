"""A set-up as people type it: a kind, then boxes by name, each a number with its unit or a range. Every fault at once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from enum import Enum
from fractions import Fraction
from functools import partial
from typing import Final, TypeVar

from drawndose.quantities import Fault, Gathering, Manner, Quantity, Refused, read_number, read_quantity, unit
from drawndose.reference import DrivenBy, Nebulizer, completed, load
from drawndose.reference.aerosol import Who
from drawndose.science.aerosol.bands import Band
from drawndose.science.aerosol.gas import heliox_flow
from drawndose.science.aerosol.setup import NO_DEAD_SPACE, Breath, Gas, SetUp, Through

BOXES: Final = {
    "fill": "what is in the cup: 3 mL, or 2 mL to 4 mL",
    "dose": "the charge, for amounts beside the shares: 2.5 mg",
    "osmolarity": "of the fill: 300 mOsm/L",
    "flow": "gas, as the flowmeter shows it: 8 L/min",
    "gas": "oxygen, air, compressor, or heliox with its mixture: heliox 80-20",
    "breath": "a pattern by its id: adult, child, infant, neonate",
    "who": "whose breath: adult, child, infant, neonate",
    "tidal": "volume of a breath: 500 mL",
    "rate": "breaths a minute: 15",
    "ratio": "inspiration to expiration: 1:2",
    "duty": "or the share in which air goes in: 0.35",
    "wave": "sine, square, or heights of the flow: 0 2 5 4 1",
    "through": "mouthpiece or mask",
    "dead": "dead space of mask or connector: 30 mL",
    "reservoir": "yes where there is a reservoir or a holding chamber",
    "tapped": "yes where the cup is tapped to the end",
    "stop": "minutes after which it is stopped; at the first sputter without it",
    "residual": "what stays in the cup: 1 mL",
    "output": "fall in weight: 0.35 mL/min",
    "water": "the share of it that is only water: 30 %",
    "size": "mass median aerodynamic diameter in micrometres: 3.5",
    "spread": "geometric standard deviation: 2",
}
"""The boxes with what each takes."""

FIGURES: Final = {
    "residual": ("residual", "mL"), "output": ("output", "mL/min"), "water": ("evaporated", ""), "size": ("mmad_um", ""),
    "spread": ("gsd", ""),
}  # fmt: skip
YES, NO = ("yes", "y"), ("no", "n", "")
MOST_CHARACTERS: Final = 100

Word = TypeVar("Word", bound=Enum)


def read_setup(words: Sequence[str], own: Iterable[Nebulizer] = ()) -> SetUp:
    """A set-up out of words: the kind or an own nebulizer by its id, then NAME=TEXT. Refused with every fault.

    >>> read_setup(["jet", "fill=3 mL", "flow=8 L/min"]).fill
    Band(low=3.0, high=3.0)
    >>> read_setup(["jet", "fill=3 to 2 mL", "flow=0 L/min"])
    Traceback (most recent call last):
    drawndose.quantities.faults.Refused: fill: a range goes up. Came: "3 to 2 mL". Accepted: 2 to 3 mL.
    flow: a flow of more than 0 is needed. Came: "0 L/min". Accepted: 8 L/min.
    """
    faults: list[Fault] = []
    boxes: dict[str, str] = {}
    for word in words[1:]:
        name, sign, text = word.partition("=")
        if not sign or name.strip() not in BOXES:
            rule = "after the nebulizer comes NAME=TEXT"
            faults.append(Fault(field=name[:40] or "set-up", rule=rule, came=word[:60], accepted=", ".join(BOXES)))
        elif name.strip() in boxes:
            faults.append(Fault(field=name.strip(), rule="it stands twice", came=word[:60], accepted="once"))
        else:
            boxes[name.strip()] = text
    return read_boxes(words[0] if words else "", boxes, own, faults)


def read_boxes(
    kind: str, boxes: Mapping[str, str], own: Iterable[Nebulizer] = (), before: Iterable[Fault] = ()
) -> SetUp:
    """A set-up out of boxes by name, for both doors; a box may be empty or missing. Refused with every fault.

    own: a department's own nebulizers. before: faults that are told with these.
    """
    reading = _Reading(boxes, before)
    nebulizer = reading.take(lambda: find(kind, own))
    gas, factor = reading.gas(nebulizer)
    made = {
        "fill": reading.band("fill", "mL"),
        "breath": reading.breath(),
        "through": reading.choice("through", Through, Through.MOUTHPIECE),
        "gas": gas,
        "flow": reading.flow(nebulizer, factor),
        "figures": {name: band for box, (name, of) in FIGURES.items() if (band := reading.band(box, of)) is not None},
        "reservoir": reading.yes("reservoir"),
        "tapped": reading.yes("tapped"),
        "stop": reading.minutes("stop"),
        "dead": reading.band("dead", "mL") or NO_DEAD_SPACE,
        "dose": reading.dose(),
        "osmolarity": reading.band("osmolarity", "mOsm/L"),
    }
    if made["fill"] is None and not reading.said("fill"):
        reading.fault("fill", "what is in the cup is needed", "", "3 mL")
    if reading.faults:
        raise Refused(reading.faults)
    return SetUp(nebulizer=nebulizer, **made)  # type: ignore[arg-type]


def find(ident: str, own: Iterable[Nebulizer] = ()) -> Nebulizer:
    """A nebulizer by its id, an own one completed with its kind's ranges. Refused where there is none."""
    kinds = load().nebulizers
    known = {one.id: one for one in (*kinds, *own)}
    if ident.strip() not in known:
        rule, accepted = "no nebulizer has this id", ", ".join(known)
        raise Refused([Fault(field="nebulizer", rule=rule, came=ident[:60] or "nothing", accepted=accepted)])
    return completed(known[ident.strip()], kinds)


def read_band(text: str, of: str, field: str) -> Band:
    """One value or a range "2 to 4 mL"; of: the unit, "" for a bare number or a percent. Refused.

    >>> read_band("20 to 30 %", "", "water"), read_band("0.9 mL/min", "mL/h", "output")
    (Band(low=0.2, high=0.3), Band(low=54.0, high=54.0))
    """
    first, sign, second = (part.strip() for part in text.partition(" to "))
    if sign and not any(one.isalpha() or one == "%" for one in first):
        first = f"{first} {''.join(one for one in second if not (one.isdigit() or one in '.,')).strip()}"
    low = _value(first, of, field)
    high = _value(second, of, field) if sign else low
    if low > high:
        turned = f"{text.partition(' to ')[2].split()[0]} to {first.split()[0]} {of}".strip()
        raise Refused([Fault(field=field, rule="a range goes up", came=text.strip(), accepted=turned)])
    return Band(float(low), float(high))


def _value(text: str, of: str, field: str) -> Fraction:
    if not of and not any(one.isalpha() or one == "%" for one in text):
        return read_number(text, field=field, manner=Manner.READING)
    quantity = read_quantity(text, field=field, manner=Manner.READING)
    if quantity.dimension != unit(of).dimension:
        rule = f"a value in {of} is wanted" if of else "a number or a percent is wanted"
        raise Refused([Fault(field=field, rule=rule, came=text, accepted=f"3 {of}" if of else "0.3, 30 %")])
    return quantity.to(of).value if of else quantity.base


class _Reading(Gathering):
    """The boxes of one set-up."""

    def __init__(self, boxes: Mapping[str, str], before: Iterable[Fault]) -> None:
        super().__init__()
        self.faults += before
        self.boxes = {name: text.strip() for name, text in boxes.items()}
        for name, text in self.boxes.items():
            if name not in BOXES or len(text) > MOST_CHARACTERS:
                rule = f"a box is known by its name and holds at most {MOST_CHARACTERS} characters"
                self.fault(name, rule, text[:MOST_CHARACTERS], ", ".join(BOXES))

    def fault(self, field: str, rule: str, came: str, accepted: str) -> None:
        """Keep one fault."""
        self.faults.append(Fault(field=field, rule=rule, came=came or "nothing", accepted=accepted))

    def said(self, name: str) -> str:
        """What stands in a box; empty where nothing does."""
        return self.boxes.get(name, "")[:MOST_CHARACTERS]

    def band(self, name: str, of: str) -> Band | None:
        """A band, or None where the box is empty or its fault is kept."""
        text = self.said(name)
        return self.take(lambda: read_band(text, of, name)) if text else None

    def choice(self, name: str, kind: type[Word], default: Word) -> Word:
        """One word of a closed list."""
        text = self.said(name).lower()
        for member in kind:
            if member.value == text:
                return member
        if text:
            self.fault(name, "one word of a closed list is wanted", text, ", ".join(str(one.value) for one in kind))
        return default

    def yes(self, name: str) -> bool:
        """Yes or no."""
        text = self.said(name).lower()
        if text not in (*YES, *NO):
            self.fault(name, "yes or no is wanted", text, "yes")
        return text in YES

    def minutes(self, name: str) -> float | None:
        """A time in minutes; a bare number counts minutes."""
        text = self.said(name)
        if not text:
            return None
        band = self.take(lambda: read_band(f"{text} min" if text[-1].isdigit() else text, "min", name))
        return band.low if band is not None else None

    def dose(self) -> Quantity | None:
        """An amount of drug."""
        text = self.said("dose")
        made = self.take(lambda: read_quantity(text, field="dose", manner=Manner.READING, of="drug")) if text else None
        if made is not None and (not made.of or any(power < 0 for _, power in made.unit.parts)):
            self.fault("dose", "the charge of the cup is an amount", text, "2.5 mg")
            return None
        return made

    def gas(self, nebulizer: Nebulizer | None) -> tuple[Gas, Fraction]:
        """What drives it, and what the flowmeter's reading is multiplied with."""
        text = self.said("gas").lower()
        if not text:
            if nebulizer is not None and nebulizer.driven_by is DrivenBy.HELIOX:
                self.fault(
                    "gas", "this nebulizer was measured with heliox: which mixture drives it?", "", "heliox 80-20"
                )
            return (Gas.OXYGEN if nebulizer is None or nebulizer.kind.by_gas else Gas.NONE), Fraction(1)
        for one in (Gas.OXYGEN, Gas.AIR, Gas.COMPRESSOR):
            if one.value == text:
                return one, Fraction(1)
        mixtures = load().aerosol.heliox
        mixed = mixtures.get(text.removeprefix("heliox").strip().replace("/", "-"))
        if not text.startswith("heliox") or mixed is None:
            accepted = f"oxygen, air, compressor, {', '.join(f'heliox {one}' for one in mixtures)}"
            self.fault("gas", "no gas of this name is known", text, accepted)
            return Gas.OXYGEN, Fraction(1)
        return Gas.HELIOX, mixed.factor

    def flow(self, nebulizer: Nebulizer | None, factor: Fraction) -> Band | None:
        """The actual flow: as it was read, times the factor of the gas; that of the kind where none is said."""
        read = self.band("flow", "L/min")
        if read is None:
            span = nebulizer.flow if nebulizer is not None else None
            return Band.of_span(span) if span is not None and not self.said("flow") else None
        if read.low <= 0:
            self.fault("flow", "a flow of more than 0 is needed", self.said("flow"), "8 L/min")
            return None
        if factor == 1:
            return read
        return self.take(lambda: Band(*(float(heliox_flow(end, float(factor))) for end in (read.low, read.high))))

    def breath(self) -> Breath:
        """The breath: a pattern, with what is typed in its place."""
        patterns = load().aerosol.patterns
        name = self.said("breath") or "adult"
        if name not in patterns:
            self.fault("breath", "no pattern has this id", name, ", ".join(patterns))
        pattern = patterns.get(name, patterns["adult"])
        return Breath(
            name=pattern.name if not any(map(self.said, ("tidal", "rate", "ratio", "duty"))) else "as typed",
            who=self.choice("who", Who, pattern.who),
            tidal=self.band("tidal", "mL") or Band.of_span(pattern.tidal),
            rate=self.band("rate", "") or Band.of_span(pattern.rate),
            duty=self._duty() or Band.of_span(pattern.duty),
            heights=self._heights(),
        )

    def _duty(self) -> Band | None:
        ratio, duty = self.said("ratio"), self.band("duty", "")
        if not ratio:
            return duty
        if self.said("duty"):
            self.fault("ratio", "the ratio or the duty is told, not both", ratio, "1:2")
        parts = [part.strip() for part in ratio.split(":")]
        found = self._numbers("ratio", parts)
        if len(found) != 2 or not all(found):
            self.fault("ratio", "a ratio is two numbers of more than 0", ratio, "1:2")
            return None
        inspiration, expiration = (one or Fraction(1) for one in found)
        return Band.at(float(inspiration / (inspiration + expiration)))

    def _heights(self) -> tuple[float, ...]:
        text = self.said("wave").lower()
        if text in {"", "sine"}:
            return ()
        if text == "square":
            return (1.0,)
        found = self._numbers("wave", text.split())
        heights = tuple(float(one) for one in found if one is not None)
        if len(heights) == len(found) and (len(heights) < 2 or not any(heights)):
            self.fault("wave", "a wave is sine, square, or two heights and more, not all 0", text, "0 2 5 4 1")
        return heights

    def _numbers(self, field: str, texts: Iterable[str]) -> list[Fraction | None]:
        return [self.take(partial(read_number, one, field=field, manner=Manner.READING)) for one in texts]
