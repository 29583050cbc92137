"""A weighing sheet in the words that people type, read for both doors: every fault of boxes, ranges and rows at once.

Boxes have names (BOXES); an empty one takes its default. A box that cannot be read is stood in for while the rest is looked
over, so that one answer names everything; then it is refused.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from math import inf
from typing import Final, TypeVar

from drawndose.quantities import Fault, Manner, Quantity, Refused, gather, read_number, read_quantity
from drawndose.reference import Balance as CatalogueBalance
from drawndose.reference import load
from drawndose.science.balances import SCATTER, balance_of
from drawndose.science.balances import VALID as FIT_VALID
from drawndose.science.evaporation import evaporated, evaporation_rate
from drawndose.science.import_readings import sift_readings, weighings
from drawndose.science.rounds import Round, look_over, weigh_round
from drawndose.science.series import VALID as SERIES_VALID
from drawndose.science.sheet import Sheet
from drawndose.science.slips import Kind
from drawndose.science.verdict import Acceptance
from drawndose.science.weighing import Balance, Blank, Weighing

Made = TypeVar("Made")

BOXES: Final[Mapping[str, str]] = {
    "target": "", "within": "5 %", "instrument": "", "limit": "5 %", "acceptance": "guarded",
    "liquid": "water", "density": "", "density-uncertainty": "",
    "temperature": "21", "pressure": "1013", "humidity": "50",
    "balance": "", "step": "", "repeatability": "", "most": "",
    "blank": "", "blank-uncertainty": "", "blank-minutes": "", "minutes": "", "expansion": "",
    "columns": "net", "unit": "g",
}  # fmt: skip
"""Every box with its default."""

BOX_OF: Final[Mapping[str, str]] = {
    "target_mL": "target", "tolerance_mL": "within", "density_g_mL": "density",
    "standard_uncertainty_g_mL": "density-uncertainty", "t_degC": "temperature", "p_hPa": "pressure",
    "rh_percent": "humidity", "readability_g": "step", "repeatability_g": "repeatability", "nu": "repeatability",
    "most_g": "most", "lost_g": "blank", "lost_u_g": "blank-uncertainty", "blank_min": "blank-minutes",
    "rate_g_per_min": "blank", "gamma_per_degC": "expansion",
}  # fmt: skip
"""The box of an input that its formula calls by another name."""

COLUMNS: Final[Mapping[str, tuple[str, ...]]] = {
    "net": ("net",),
    "without, with": ("without", "with"),
    "without, with, again": ("without", "with", "again"),
}
"""What the readings of a draw are, in their order."""

UNITS: Final = {"g": "g", "mg": "mg"}
ACCEPTANCES: Final = {"guarded": Acceptance.GUARDED, "simple": Acceptance.SIMPLE}

STEP_G: Final = 1e-4
"""The step of the display where nobody has said: that of a usual analytical balance. A setting, and told as taken."""

_EXAMPLE: Final = {"volume": "0.5 mL", "mass": "0.1 mg"}

OWN_UNITS: Final[Mapping[str, tuple[str, ...]]] = {
    "temperature": ("degC", "°C", "C"),
    "pressure": ("hPa", "mbar"),
    "humidity": ("%",),
    "density": ("g/mL", "g per mL"),
    "density-uncertainty": ("g/mL", "g per mL"),
    "minutes": ("min",),
    "blank-minutes": ("min",),
    "expansion": ("/degC", "per degC"),
}
"""Boxes that take a bare number, with the unit that it has and may carry."""

ASKED: Final = frozenset({Kind.PRESSURE, Kind.SHARE})
"""Slips that a bare number may be, and that the unit beside it answers."""

_OTHER_UNITS: Final[Mapping[str, tuple[str, Callable[[float], float]]]] = {
    "F": ("temperature", lambda value: (value - 32.0) / 1.8),
    "mmHg": ("pressure", lambda value: value * 1.33322),
    "kPa": ("pressure", lambda value: value * 10.0),
    "inHg": ("pressure", lambda value: value * 33.8639),
    "kg/m3": ("density", lambda value: value / 1000.0),
}
"""Units that these boxes are filled in with by mistake: of which box, and what it would be in the box's own unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """A sheet as it was read, the limit for the person as a share, and what was taken without being said."""

    sheet: Sheet
    limit: float
    taken: tuple[str, ...]


def weigh_words(boxes: Mapping[str, str], readings: Callable[[], str]) -> tuple[Filled, Round]:
    """Read the boxes and the readings, and judge. Refused with every fault of both, each at its box or its row.

    readings: gives the text of the readings; what it refuses is told with the rest.

    >>> filled, judged = weigh_words({"target": "0.5 mL"}, lambda: "0.4962\\n0.5021\\n0.4988")
    >>> [one.verdict.call.value for one in judged.weighed], filled.taken[0]
    (['within', 'within', 'within'], 'a display in steps of 0.1 mg')
    >>> weigh_words({"target": "0.5 mL", "temperature": "72 F", "pressure": "200"}, lambda: "0.4962\\n0,5021")
    Traceback (most recent call last):
    drawndose.quantities.faults.Refused: temperature: this is in F, and degC is wanted. Came: "72 F". Accepted: 22.22 degC.
    pressure: the air pressure lies outside the range. Came: "200 hPa". Accepted: 600 to 1100 hPa.
    row 2, net: a comma stands where a decimal point belongs. Came: "0,5021". Accepted: 0.5021.
    """
    read = Reader(boxes)
    filled = read.filled()
    rows = read.rows(readings)
    wrong = {fault.field for fault in read.faults}
    if "target" not in wrong:
        safe = replace(filled.sheet, density_g_mL=None) if "density" in wrong else filled.sheet
        read.faults += look_over(rows, safe)
    gather(sorted(read.faults, key=_row_of))
    return filled, weigh_round(rows, filled.sheet)


def _row_of(fault: Fault) -> int:
    """Boxes first, as they were read; then the rows in their order."""
    row = re.match(r"row ([0-9]+)", fault.field)
    return int(row[1]) if row else 0


class Reader:
    """The boxes of one sheet, and the faults found so far."""

    def __init__(self, boxes: Mapping[str, str]) -> None:
        self.said = {name: boxes.get(name, "").strip() or default for name, default in BOXES.items()}
        self.faults: list[Fault] = []
        self.taken: list[str] = []

    def take(self, make: Callable[[], Made], stand_in: Made) -> Made:
        """What is made, or the stand-in with the faults kept, each at its box."""
        try:
            return make()
        except Refused as refused:
            self.faults += [replace(fault, field=BOX_OF.get(fault.field, fault.field)) for fault in refused.faults]
            return stand_in

    def amount(self, name: str, dimension: str, unit: str, stand_in: float) -> float:
        """A volume in mL or a mass in g, over 0."""
        return self.take(lambda: float(_amount(self.said[name], name, dimension).to(unit).value), stand_in)

    def number(self, name: str, stand_in: float) -> float:
        """A number in the box's own unit; the stand-in where the box is empty."""
        return self.take(lambda: _bare(self.said[name], name), stand_in) if self.said[name] else stand_in

    def choice(self, name: str, known: Mapping[str, Made]) -> Made:
        """One of a few words."""
        if self.said[name] not in known:
            raise _refused(name, "this is not one of the words that are known", self.said[name], "; ".join(known))
        return known[self.said[name]]

    def filled(self) -> Filled:
        """The sheet, with a stand-in for each box at fault; its own faults are added where their box has none yet."""
        balance = self.balance()
        target = self.amount("target", "volume", "mL", 1.0)
        sheet = Sheet(
            balance=balance,
            t_degC=self.number("temperature", 21.0),
            p_hPa=self.number("pressure", 1013.0),
            rh_percent=self.number("humidity", 50.0),
            target_mL=target,
            tolerance_mL=self.take(lambda: self.tolerance(target), 0.05 * target),
            liquid=self.said["liquid"],
            density_g_mL=self.number("density", 1.0) if self.said["density"] else None,
            density_u_g_mL=self.number("density-uncertainty", 0.0),
            evaporation=self.take(lambda: self.evaporation(balance), None),
            gamma_per_degC=self.number("expansion", 0.0),
            capacity_mL=self.take(self.capacity, inf),
            acceptance=self.take(lambda: self.choice("acceptance", ACCEPTANCES), Acceptance.GUARDED),
        )
        limit = self.take(lambda: _share(self.said["limit"], "limit"), 0.05)
        wrong = {fault.field for fault in self.faults}
        of_sheet = (replace(fault, field=BOX_OF.get(fault.field, fault.field)) for fault in sheet.faults())
        self.faults += [fault for fault in of_sheet if fault.field not in wrong]
        self.faults += [fault for fault in self.units_asked(sheet) if fault.field not in wrong]
        return Filled(sheet=sheet, limit=limit, taken=tuple(self.taken))

    def units_asked(self, sheet: Sheet) -> Iterator[Fault]:
        """A bare number that could be of another unit is asked for its unit: written with it, it is a doubt and no more."""
        for slip in sheet.doubts:
            box = BOX_OF.get(slip.field, slip.field)
            said = self.said.get(box, "")
            if slip.kind in ASKED and said and said[-1].isdecimal():
                unit = OWN_UNITS[box][0]
                yield Fault(
                    field=box,
                    rule=f"{slip.rule}: write the unit that is meant",
                    came=said,
                    accepted=f"{slip.accepted}, or {said} {unit} where it is so",
                )

    def rows(self, readings: Callable[[], str]) -> tuple[tuple[str, Weighing], ...]:
        """The rows that can be read; the faults of the others are kept."""

        def sifted() -> tuple[tuple[str, Weighing], ...]:
            columns, unit = self.choice("columns", COLUMNS), self.choice("unit", UNITS)
            rows, faults = sift_readings(readings(), columns=columns, unit=unit)
            self.faults += faults
            return weighings(rows)

        return self.take(sifted, ())

    def tolerance(self, target_mL: float) -> float:
        """A share of the volume asked for, or a volume."""
        within = read_quantity(self.said["within"], field="within", manner=Manner.READING)
        if not within.value:
            raise _refused("within", "a tolerance above 0 is wanted", self.said["within"], "5 %, or 0.025 mL")
        if within.dimension:
            volume = float(_amount(self.said["within"], "within", "volume").to("mL").value)
        else:
            volume = float(within.base) * target_mL
        allowed = FIT_VALID["within"]
        if volume / target_mL not in allowed:
            rule = "a tolerance lies between these shares of the volume asked for"
            raise _refused("within", rule, self.said["within"], f"{allowed.low * 100:g} % to {allowed.high * 100:g} %")
        return volume

    def capacity(self) -> float:
        """What the instrument holds: by its id in the catalogue, or by a volume."""
        said = self.said["instrument"]
        if not said:
            return inf
        known = {one.id: one for one in load().instruments}
        if said in known:
            return float(known[said].capacity)
        try:
            return float(_amount(said, "instrument", "volume").to("mL").value)
        except Refused as refused:
            accepted = f"{', '.join(known)}, or what it holds: 1 mL"
            raise _refused("instrument", "the instrument is not in the catalogue", said, accepted) from refused

    def balance(self) -> Balance:
        """The balance: by its own figures, which go before the catalogue's; what nobody has said is told as taken."""
        one = self.take(self.of_catalogue, None)
        base = balance_of(one) if one is not None else Balance(readability_g=STEP_G, repeatability_g=SCATTER * STEP_G)
        step, scatter, nu = base.readability_g, base.repeatability_g, inf
        if self.said["step"]:
            typed = self.amount("step", "mass", "g", step)
            step = self.take(lambda: Balance(readability_g=typed, repeatability_g=0.0), base).readability_g
            scatter = scatter if one is not None and one.repeatability_g is not None else SCATTER * step
        elif one is None:
            self.taken.append(f"a display in steps of {step * 1e3:g} mg")
        if self.said["repeatability"]:
            scatter, nu = self.take(self.repeatability, (scatter, nu))
        else:
            memory = one is not None and one.repeatability_g is not None
            whose = ", from memory for its class" if memory else ", two steps of the display"
            self.taken.append(f"repeated readings that spread by {scatter * 1e3:g} mg{whose}")
        most = self.amount("most", "mass", "g", inf) if self.said["most"] else inf
        return self.take(lambda: Balance(readability_g=step, repeatability_g=scatter, nu=nu, most_g=most), base)

    def of_catalogue(self) -> CatalogueBalance | None:
        """The balance of the catalogue that was named, if any."""
        known = {one.id: one for one in load().balances}
        if self.said["balance"] and self.said["balance"] not in known:
            raise _refused("balance", "the balance is not in the catalogue", self.said["balance"], ", ".join(known))
        return known.get(self.said["balance"])

    def repeatability(self) -> tuple[float, float]:
        """How far repeated readings spread [g], and by how many degrees of freedom: "0.2 mg", "0.2 mg of 10 readings"."""
        text, of, readings = self.said["repeatability"].removesuffix(" readings").partition(" of ")
        scatter = float(_amount(text, "repeatability", "mass").to("g").value)
        return scatter, _degrees(readings) if of else inf

    def evaporation(self, balance: Balance) -> Blank | float | None:
        """A blank, or the minutes in the open, or neither. A blank that took other minutes than a draw is scaled to them."""
        minutes = self.number("minutes", 0.0) if self.said["minutes"] else None
        if not self.said["blank"]:
            lonely = [name for name in ("blank-uncertainty", "blank-minutes") if self.said[name]]
            if lonely:
                raise Refused(
                    _fault(name, "this is told with a blank", self.said[name], "a blank: 0.6 mg") for name in lonely
                )
            return minutes
        lost = self.amount("blank", "mass", "g", 0.0)
        doubt = balance.difference_u_g
        if self.said["blank-uncertainty"]:
            doubt = self.amount("blank-uncertainty", "mass", "g", 0.0)
        if (minutes is None) != (not self.said["blank-minutes"]):
            missing = "minutes" if minutes is None else "blank-minutes"
            rule = "a blank of another length needs its own minutes and those of a draw; one that was run like a draw needs neither"
            raise _refused(missing, rule, "", "1.5")
        if minutes is None:
            return Blank(lost_g=lost, lost_u_g=doubt)
        blank = self.number("blank-minutes", 1.0)
        return Blank(lost_g=evaporated(evaporation_rate(lost, blank), minutes), lost_u_g=doubt * minutes / blank)


def _fault(field: str, rule: str, came: str, accepted: str) -> Fault:
    return Fault(field=field, rule=rule, came=came or "nothing", accepted=accepted)


def _refused(field: str, rule: str, came: str, accepted: str) -> Refused:
    return Refused([_fault(field, rule, came, accepted)])


def _amount(text: str, field: str, dimension: str) -> Quantity:
    try:
        quantity = read_quantity(text, field=field, manner=Manner.READING)
    except Refused as refused:
        faults = (replace(one, came=one.came or "nothing", accepted=_EXAMPLE[dimension]) for one in refused.faults)
        raise Refused(faults) from refused
    if quantity.dimension != ((dimension, 1),) or not quantity.value:
        raise _refused(field, f"a {dimension} above 0 is wanted", text, _EXAMPLE[dimension])
    return quantity


def _share(text: str, field: str) -> float:
    share = read_quantity(text, field=field, manner=Manner.READING)
    allowed = SERIES_VALID["limit"]
    if share.dimension or float(share.base) not in allowed:
        raise _refused(
            field, "the limit is a share of the volume", text, f"{allowed.low * 100:g} % to {allowed.high * 100:g} %"
        )
    return float(share.base)


def _degrees(readings: str) -> float:
    if not re.fullmatch(r"[0-9]{1,5}", readings) or not 2 <= int(readings) <= 10_001:
        raise _refused("repeatability", "readings are counted from 2 to 10,001", readings, "0.2 mg of 10 readings")
    return int(readings) - 1.0


def _bare(text: str, name: str) -> float:
    """A number that may carry the unit of its box; another unit is named with what it would be."""
    own = OWN_UNITS[name]
    for unit, (box, convert) in _OTHER_UNITS.items():
        number = text.removesuffix(unit).rstrip(" °")
        if box == name and text.endswith(unit) and re.fullmatch(r"[0-9.,]+", number):
            meant = convert(float(read_number(number, field=name, manner=Manner.READING)))
            raise _refused(name, f"this is in {unit}, and {own[0]} is wanted", text, f"{meant:.4g} {own[0]}")
    number = next((text.removesuffix(unit).rstrip() for unit in own if text.endswith(unit)), text)
    try:
        return float(read_number(number, field=name, manner=Manner.READING))
    except Refused as refused:
        raise Refused(
            replace(one, came=text, accepted=_example(name, one.accepted)) for one in refused.faults
        ) from refused


def _example(name: str, accepted: str) -> str:
    """What a box accepts; where the reader of numbers had a number of its own to offer, that."""
    return f"a number in {OWN_UNITS[name][0]}" if accepted.startswith("0.5, 2.5") else accepted
