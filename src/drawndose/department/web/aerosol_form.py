"""The form of the aerosol page: one or two set-ups, each of lists, sliders with a box beside them, and further boxes.

A box that is filled in counts; an empty one leaves the word to its slider. A slider at its left end leaves the figure to what is
known of the kind, as a range. Everything asked stands in the address.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from drawndose.quantities import Fault
from drawndose.reference import Nebulizer, load
from drawndose.science.aerosol.setup import Gas, Through

FIRST, SECOND = "a", "b"
MOST_TYPED: Final = 200
"""Of a box no more than this is read; the science refuses less than that."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slider:
    """One slider. none: what its left end means; "" where that end is a value like any other."""

    name: str
    label: str
    unit: str
    least: str
    most: str
    step: str
    start: str
    none: str = ""


SLIDERS: Final = (
    Slider(name="fill", label="Fill of the cup", unit="mL", least="1", most="10", step="0.5", start="3"),
    Slider(
        name="flow", label="Flow of gas", unit="L/min", least="0", most="15", step="1", start="0", none="as the kind"
    ),
    Slider(
        name="residual", label="Left in the cup", unit="mL", least="0", most="3", step="0.1", start="0", none="as the kind"
    ),
    Slider(
        name="tidal", label="One breath", unit="mL", least="0", most="1500", step="10", start="0", none="as the pattern"
    ),
    Slider(
        name="rate", label="Breaths a minute", unit="", least="0", most="60", step="1", start="0", none="as the pattern"
    ),
)  # fmt: skip

FURTHER: Final = (
    ("dose", "Charge of the cup", "2.5 mg"),
    ("ratio", "Inspiration to expiration", "1:2"),
    ("wave", "Wave of the breath", "sine, square, or 0 2 5 4 1"),
    ("dead", "Dead space of mask or connector", "30 mL"),
    ("stop", "Stopped after", "5 min"),
    ("output", "Fall in weight", "0.35 mL/min"),
    ("water", "Of it only water", "30 %"),
    ("size", "Mass median diameter, micrometres", "3.5"),
    ("spread", "Geometric standard deviation", "2"),
    ("osmolarity", "Osmolarity of the fill", "300 mOsm/L"),
)
"""Boxes of the fold: name, label, example."""

TICKS: Final = (("reservoir", "With a reservoir"), ("tapped", "Tapped to the end"))
LISTS: Final = {"kind": "Nebulizer", "breath": "Breathing", "through": "Through", "gas": "Driven by"}
LABELS: Final = {
    **LISTS, **{one.name: one.label for one in SLIDERS}, **{name: label for name, label, _ in FURTHER}, **dict(TICKS),
}  # fmt: skip
"""Every box with the words over it."""

BOX_OF: Final = {
    "nebulizer": "kind", "evaporated": "water", "mmad_um": "size", "gsd": "spread", "duty": "ratio",
    "who": "breath", "inspiratory_ratio": "kind",
}  # fmt: skip
"""The box at which a fault of the science is told, where the names differ."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """One set-up as it came. boxes: what was typed, by name; slid: where the sliders stand."""

    prefix: str
    kind: str
    boxes: Mapping[str, str]
    slid: Mapping[str, str]

    def said(self) -> dict[str, str]:
        """Every box that says something, a slider in the place of its empty box."""
        found = {name: text for name, text in self.boxes.items() if text}
        for one in SLIDERS:
            at = self.slid.get(one.name, "")
            if one.name not in found and at and not (one.none and at == one.least):
                found[one.name] = f"{at} {one.unit}".strip()
        return found

    @property
    def further(self) -> bool:
        """True when something stands in the fold: it then stays open."""
        names = [*(name for name, _, _ in FURTHER if name != "dose"), *(name for name, _ in TICKS)]
        return any(self.boxes.get(name) for name in names)


def read_form(query: Mapping[str, str]) -> tuple[Typed, Typed]:
    """Both set-ups out of the address; as it comes while nothing was asked. The kind of the second is "" while there is none."""
    return _read(query, FIRST, "jet"), _read(query, SECOND, "")


def _read(query: Mapping[str, str], prefix: str, kind: str) -> Typed:
    names = [
        *(one.name for one in SLIDERS), *(name for name, _, _ in FURTHER), *(name for name, _ in TICKS), *LISTS,
    ]  # fmt: skip
    starts = {one.name: one.start for one in SLIDERS}
    return Typed(
        prefix=prefix,
        kind=query.get(f"{prefix}-kind", kind)[:MOST_TYPED],
        boxes={name: query.get(f"{prefix}-{name}", "").strip()[:MOST_TYPED] for name in names},
        slid={name: query.get(f"{prefix}-{name}-at", start)[:MOST_TYPED] for name, start in starts.items()},
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class FormPart:
    """One set-up's boxes for the template. lists: name, label, and each choice with whether it is chosen."""

    typed: Typed
    title: str
    lists: tuple[tuple[str, str, tuple[tuple[str, str, bool], ...], tuple[Fault, ...]], ...]
    sliders: tuple[tuple[Slider, str, str, tuple[Fault, ...]], ...]
    dose: tuple[str, str, str, str, tuple[Fault, ...]]
    further: tuple[tuple[str, str, str, str, tuple[Fault, ...]], ...]
    ticks: tuple[tuple[str, str, bool, tuple[Fault, ...]], ...]
    open: bool


def form_part(typed: Typed, title: str, faults: tuple[Fault, ...], own: tuple[Nebulizer, ...] = ()) -> FormPart:
    """The boxes with what stands in them, each with its faults. own: nebulizers that were measured here."""

    def at(name: str) -> tuple[Fault, ...]:
        return tuple(one for one in faults if box_of(one) == name)

    boxes = tuple((name, label, hint, typed.boxes[name], at(name)) for name, label, hint in FURTHER)
    folded = any(wrong for name, _, _, _, wrong in boxes if name != "dose")
    return FormPart(
        typed=typed,
        title=title,
        lists=tuple((name, label, chosen, at(name)) for name, label, chosen in _lists(typed, own)),
        sliders=tuple((one, typed.boxes[one.name], _position(one, typed), at(one.name)) for one in SLIDERS),
        dose=boxes[0],
        further=boxes[1:],
        ticks=tuple((name, label, typed.boxes[name] == "yes", at(name)) for name, label in TICKS),
        open=typed.further or folded,
    )


def box_of(fault: Fault) -> str:
    """The box that a fault belongs to."""
    return BOX_OF.get(fault.field, fault.field)


def _position(one: Slider, typed: Typed) -> str:
    """Where the slider stands: at the number of its box, where that is one number."""
    number = typed.boxes[one.name].removesuffix(one.unit).strip()
    plain = number.replace(".", "", 1).isdecimal() and number.isascii()
    return number if plain else typed.slid[one.name]


def _lists(typed: Typed, own: tuple[Nebulizer, ...]) -> tuple[tuple[str, str, tuple[tuple[str, str, bool], ...]], ...]:
    book = load()
    kinds = [(one.id, one.name) for one in book.nebulizers]
    kinds += [(one.id, f"{one.name}, measured here") for one in own]
    kinds = [("", "none"), *kinds] if typed.prefix == SECOND else kinds
    gases = [one.value for one in Gas if one not in {Gas.NONE, Gas.HELIOX}]
    gases += [f"{Gas.HELIOX.value} {one}" for one in book.aerosol.heliox]
    named = (
        ("kind", kinds, typed.kind),
        ("breath", [(one.id, one.name) for one in book.aerosol.patterns.values()], typed.boxes["breath"] or "adult"),
        ("through", [(one.value, one.value) for one in Through], typed.boxes["through"] or Through.MOUTHPIECE.value),
        ("gas", [("", "oxygen, where gas drives it"), *((one, one) for one in gases if one != "oxygen")], typed.boxes["gas"]),
    )  # fmt: skip
    return tuple(
        (name, LISTS[name], tuple((ident, words, ident == chosen) for ident, words in options))
        for name, options, chosen in named
    )
