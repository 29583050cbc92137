"""Everything that the weighing page names: its boxes by place, the draws, what they show together, the balances."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from drawndose.department.web import comparing
from drawndose.department.web.draws_strip import draws_strip
from drawndose.department.web.shown import OPEN_CAUTIONS, Findings, Said
from drawndose.department.web.weighing import Typed, Weighed, box_of, weighed
from drawndose.quantities import Fault
from drawndose.reference import Catalogue, Kind
from drawndose.science.balance_words import WhichBalance, fit_words, guard_words, smallest_words
from drawndose.science.balances import Enough, Fit
from drawndose.science.round_words import (
    acceptance_words,
    counted_words,
    measured,
    operator_words,
    series_words,
    signed_percent,
    tally_words,
)
from drawndose.science.rounds import Round
from drawndose.science.sheet import Weighed as Draw
from drawndose.science.sheet_words import OWN_UNITS
from drawndose.science.slips import Slip
from drawndose.science.verdict import Call
from drawndose.science.words import chance_percent, percent_words

PLACES: Final = (
    ("liquid", "Liquid", ("density", "density-uncertainty")),
    ("room", "Room", ("temperature", "pressure", "humidity")),
    ("balance", "Balance", ("step", "repeatability", "most")),
    (
        "evaporation",
        "Evaporation",
        ("minutes", "blank", "blank-uncertainty", "blank-minutes", "expansion"),
    ),
)
"""The folded places of the sheet: id, title, and the boxes that are typed."""

LABELS: Final = {
    "target": ("Volume asked for", "As in 0.5 mL."),
    "within": ("Tolerance", "5 %, or 0.025 mL."),
    "limit": ("Is this person inside", "5 % of the volume asked for."),
    "instrument": ("Drawn with", ""),
    "acceptance": ("Acceptance", ""),
    "liquid": ("What was weighed", ""),
    "density": ("Density of another liquid, g per mL", "As in 1.06; at this temperature."),
    "density-uncertainty": ("Its standard uncertainty, g per mL", "Empty: not counted."),
    "temperature": ("Temperature, degC", "Of liquid and air."),
    "pressure": ("Air pressure, hPa", "At this place, not reduced to sea level."),
    "humidity": ("Humidity, %", "A guess will do."),
    "balance": ("Class of the balance", ""),
    "step": ("Step of the display", "0.1 mg. Empty: that of its class."),
    "repeatability": ("Repeated readings spread by", "0.2 mg, or 0.2 mg of 10 readings."),
    "most": ("It carries at most", "220 g. Empty: not checked."),
    "minutes": ("A draw lies open for, min", "Doubt only, without a blank."),
    "blank": ("A blank lost", "0.6 mg: the whole cycle with an empty delivery. Added back."),
    "blank-uncertainty": ("The blank is known to", "0.2 mg. Empty: two readings."),
    "blank-minutes": ("The blank took, min", "Where a draw takes another time."),
    "expansion": ("Expansion of the device, per degC", "0.0003. Then the volume at 20 degC is told."),
    "columns": ("Readings of a draw", ""),
    "unit": ("Unit", ""),
    "reading": ("Next reading", ""),
    "readings": ("All readings, one draw a line", ""),
    "file": ("A file of readings", ""),
}
COLUMN_CHOICES: Final = (
    ("net", "the net mass"),
    ("without, with", "empty, then full"),
    ("without, with, again", "empty, full, empty again"),
)
AWAITS: Final = {
    "net": "the net mass",
    "without": "the empty vessel",
    "with": "the full vessel",
    "again": "the empty vessel again",
    "volume": "the volume",
}
CALLS: Final = {
    Call.WITHIN: ("acceptable", "check"),
    Call.OUTSIDE: ("outside", "octagon-x"),
    Call.CANNOT_TELL: ("caution", "circle-help"),
}
ENOUGH: Final = {
    Enough.NET_MASS: ("acceptable", "check", "good enough"),
    Enough.TOLERANCE: ("caution", "triangle-alert", "this tolerance only"),
    Enough.NOT: ("not", "no-measure", "too coarse"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """One box: what stands in it, and what is wrong with it.

    options: value, words and whether chosen; none for a typed box. bare: a number without a unit, for which a keypad will do.
    """

    name: str
    label: str
    hint: str
    value: str
    faults: tuple[Fault, ...]
    options: tuple[tuple[str, str, bool], ...] = ()
    bare: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A folded place of the sheet: its boxes, its state in words, and whether it stands open."""

    ident: str
    title: str
    state: str
    boxes: tuple[Box, ...]
    open: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawShown:
    """One draw: figures with their units apart from the verdict's sign, word and chance."""

    number: int
    net: str
    volume: str
    doubt: str
    off: str
    tint: str
    icon: str
    word: str
    conforms: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceCell:
    """How far one balance does for one volume; share: of the tolerance that its guard band takes, "" where it does not matter."""

    tint: str
    icon: str
    word: str
    share: str


def weighing_page(typed: Typed, book: Catalogue) -> dict[str, object]:
    """The context of the page."""
    answer = weighed(typed)
    context: dict[str, object] = {
        "answer": answer,
        "typed": answer.typed,
        "asked": tuple(_box(name, answer, book) for name in ("target", "within", "instrument", "limit", "acceptance")),
        "places": tuple(_place(ident, title, names, answer, book) for ident, title, names in PLACES),
        "columns": _box("columns", answer, book),
        "unit": _box("unit", answer, book),
        "told": tuple((fault, _name(fault), box_of(fault)) for fault in sorted(answer.faults, key=_place_of)),
        "awaited": _awaited(answer),
        "says": _announced(answer),
        "balances": _balances(answer.balances),
        **{f"{name}_faults": answer.at(name) for name in ("reading", "readings", "file")},
    }
    return context | (_of_round(answer) if answer.round is not None else {})


def _of_round(answer: Weighed) -> dict[str, object]:
    found, filled = answer.round, answer.filled
    assert found is not None
    assert filled is not None
    series = found.series
    return {
        "draws": tuple(_draw(place, one, found) for place, one in enumerate(found.weighed, start=1)),
        "tally": tally_words(found),
        "acceptance": acceptance_words(found.sheet),
        "strip_figure": draws_strip("draws-strip", found),
        "found": _findings(answer, found),
        "series": series_words(series, filled.limit) if series is not None else (found.no_series,),
        "take_over": _take_over(answer),
        "counted": counted_words(filled, found),
        "not_counted": found.not_in_it,
        "guard": max(one.verdict.guard_mL for one in found.weighed),
    }


def _place_of(fault: Fault) -> int:
    """Where on the page the box of a fault stands."""
    return tuple(LABELS).index(box_of(fault))


def _name(fault: Fault) -> str:
    """What a fault is about, for people: its box, or its row."""
    label = LABELS[fault.field][0] if fault.field in LABELS else fault.field
    return f"{label[0].upper()}{label[1:]}"


def _box(name: str, answer: Weighed, book: Catalogue) -> Box:
    value = answer.typed.boxes.get(name, "")
    label, hint = LABELS[name]
    options = tuple((key, words, key == value) for key, words in _options(name, book))
    bare = name in OWN_UNITS
    return Box(name=name, label=label, hint=hint, value=value, faults=answer.at(name), options=options, bare=bare)


def _options(name: str, book: Catalogue) -> Iterable[tuple[str, str]]:
    """What can be chosen in a box; nothing where it is typed."""
    if name == "instrument":
        yield "", "not said"
        firsts: dict[str, str] = {}
        for one in book.instruments:
            if one.kind is not Kind.CYLINDER:
                firsts.setdefault(one.name.partition(",")[0], one.id)
        yield from ((ident, words) for words, ident in firsts.items())
    elif name == "balance":
        yield "", "not said"
        yield from ((one.id, one.name) for one in book.balances)
    else:
        yield from CHOICES.get(name, ())


CHOICES: Final = {
    "acceptance": (("guarded", "guard band"), ("simple", "simple, no band")),
    "liquid": (("water", "water"), ("saline", "sodium chloride 0.9 %"), ("another liquid", "another, by its density")),
    "columns": COLUMN_CHOICES,
    "unit": (("g", "g"), ("mg", "mg")),
}


def _place(ident: str, title: str, names: tuple[str, ...], answer: Weighed, book: Catalogue) -> Place:
    chosen = (ident,) if ident in {"liquid", "balance"} else ()
    boxes = tuple(_box(name, answer, book) for name in (*chosen, *names))
    said = answer.typed.boxes
    states = {
        "liquid": dict(CHOICES["liquid"]).get(said.get("liquid", ""), said.get("liquid", "")),
        "room": f"{said.get('temperature', '')} degC, {said.get('pressure', '')} hPa, {said.get('humidity', '')} %",
        "balance": next((words for key, words, on in boxes[0].options if on and key), "")
        or said.get("step", "")
        or "not said",
        "evaporation": "a blank" if said.get("blank") else "doubt only" if said.get("minutes") else "not counted",
    }
    wrong = any(box.faults for box in boxes)
    return Place(ident=ident, title=title, state=states[ident], boxes=boxes, open=wrong)


def _awaited(answer: Weighed) -> str:
    """Which reading comes next, with what of its draw is there."""
    next_one = answer.awaited
    if next_one is None:
        return ""
    there = f" ({', '.join(answer.typed.listed.begun)} is there)" if answer.typed.listed.begun else ""
    return f"Draw {next_one.draw}: {AWAITS.get(next_one.column, next_one.column)}{there}."


def _announced(answer: Weighed) -> str:
    if count := len(answer.faults):
        return f"{count} thing{'s' if count > 1 else ''} could not be accepted."
    if answer.round is None:
        return "No draw weighed yet."
    count = len(answer.round.weighed)
    return f"{count} draw{'s' if count > 1 else ''}: {tally_words(answer.round)}."


def _draw(number: int, one: Draw, found: Round) -> DrawShown:
    volume, doubt = one.volume.mL, one.volume.budget.expanded
    tint, icon = CALLS[one.verdict.call]
    return DrawShown(
        number=number,
        net=f"{measured(one.volume.mass_g, found.sheet.balance.readability_g)} g",
        volume=f"{measured(volume, doubt)} mL",
        doubt=f"± {measured(doubt, doubt)} mL",
        off=signed_percent(volume / found.sheet.target_mL - 1.0),
        tint=tint,
        icon=icon,
        word=one.verdict.call.value,
        conforms=chance_percent(one.verdict.conformity),
    )


def _findings(answer: Weighed, found: Round) -> Findings:
    """The doubts that a person answers: one for each kind, with the draws that it is about; and a balance that is too coarse."""
    by_rule: dict[str, list[tuple[int, Slip]]] = {}
    for slip in found.doubts:
        by_rule.setdefault(slip.rule, []).append((0, slip))
    for number, one in enumerate(found.weighed, start=1):
        for slip in one.doubts:
            by_rule.setdefault(slip.rule, []).append((number, slip))
    said = [_doubt(rule, about) for rule, about in by_rule.items()]
    if answer.balances is not None and answer.balances.rows[0].fits[0].enough is Enough.NOT:
        row = answer.balances.rows[0]
        says = f"For {found.sheet.target_mL:g} mL this balance is {fit_words(row.fits[0])}. Its smallest net mass is {smallest_words(row)}."
        said.append(
            _caution(
                says,
                "weigh on one of the balances below, or draw more.",
                "USP 37 <41>, repeatability; the tolerance asked for.",
            )
        )
    return Findings(stops=(), cautions=tuple(said[:OPEN_CAUTIONS]), folded=tuple(said[OPEN_CAUTIONS:]), notes=())


def _doubt(rule: str, about: list[tuple[int, Slip]]) -> Said:
    numbers = [str(number) for number in dict.fromkeys(number for number, _ in about) if number]
    first = about[0][1]
    draws = (
        f"Draw{'s' if len(numbers) > 1 else ''} {', '.join(numbers)}: {rule}"
        if numbers
        else f"{rule[0].upper()}{rule[1:]}"
    )
    return _caution(f"{draws} (it came as {first.came}).", f"look again; accepted is {first.accepted}.", "this sheet.")


def _caution(says: str, do: str, source: str) -> Said:
    return Said(level="caution", rule="weighing", says=says, do=do, source=source)


def _take_over(answer: Weighed) -> dict[str, str] | None:
    """The person's spread for the budgets of a dose; None where the draws show none, or one too wide to be a spread."""
    series = answer.round.series if answer.round is not None else None
    if series is None or not 0.0 < series.cv <= 0.5:
        return None
    spread, draws = operator_words(series)
    used = answer.typed.boxes.get("instrument", "")
    tools = tuple(dict.fromkeys((used, *comparing.USUAL)))[: len(comparing.USUAL)] if used else comparing.USUAL
    wanted = comparing.Wanted(tools=(*tools, ""), spread=spread, draws=str(draws), holds=True)
    return {
        "spread": spread,
        "draws": str(draws),
        "compare": wanted.address(f"{series.target_mL:g} mL"),
    }


def _balances(table: WhichBalance | None) -> dict[str, object] | None:
    """The balances for one volume, each with its share of the tolerance; or against several volumes."""
    if table is None:
        return None
    one = f"{table.volumes_mL[0]:g} mL" if len(table.volumes_mL) == 1 else ""
    rows = tuple(
        (_balance_name(row.name, one), smallest_words(row), tuple(_cell(fit) for fit in row.fits)) for row in table.rows
    )
    across = tuple(
        (f"{volume:g} mL", tuple(cells[at] for _, _, cells in rows)) for at, volume in enumerate(table.volumes_mL)
    )
    return {"one": one, "rows": rows, "across": across, "within": percent_words(table.within)}


def _balance_name(name: str, one: str) -> str:
    """The whole name in a list; at the head of a narrow column the end of it."""
    return name if one else (name.partition(", ")[2] or name).partition(" (")[0]


def _cell(fit: Fit) -> BalanceCell:
    tint, icon, word = ENOUGH[fit.enough]
    share = "" if fit.enough is Enough.NET_MASS else guard_words(fit)
    return BalanceCell(tint=tint, icon=icon, word=word, share=share)
