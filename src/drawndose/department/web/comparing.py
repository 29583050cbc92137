"""The compare page: one volume in two to four instruments, side by side; everything asked stands in the address."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from urllib.parse import urlencode

from django.http import QueryDict

from drawndose.bench import drawing
from drawndose.bench.draws import Draw, ml
from drawndose.bench.takes import percent
from drawndose.department.web import shown
from drawndose.department.web.bars import Bar, bars, longest
from drawndose.quantities import Fault, Gathering, show_number
from drawndose.reference import Catalogue, Instrument
from drawndose.science.beside import MOST, Beside, Judged, choose, read_volume, side_by_side, surest
from drawndose.science.settings import read_conditions
from drawndose.science.words import chance_words, degrees_words, percent_words, trial_words, volume_words

USUAL = ("syringe-1", "syringe-3", "dropper-0.25-0.5")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """The form as it came. tools: one id for each place, "" for an empty one."""

    volume: str = "0.5 mL"
    tools: tuple[str, ...] = (*USUAL, "")
    half: bool = False
    marks: bool = False
    spread: str = ""
    draws: str = ""
    holds: bool = False
    away: str = "5"

    def address(self, volume: str) -> str:
        """The query that asks the same of another volume."""
        ticks = {name: "yes" for name in ("half", "marks", "holds") if getattr(self, name)}
        boxes = {name: text for name in ("spread", "draws", "away") if (text := getattr(self, name))}
        return f"?{urlencode([('volume', volume), *(('tool', one) for one in self.tools), *ticks.items(), *boxes.items()])}"

    @property
    def settings_changed(self) -> bool:
        """True when a setting is not as it comes: the fold then stays open."""
        return Wanted(volume=self.volume, tools=self.tools) != self


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One instrument as the page shows it. judged rows, bars and sentences are empty where it has no line."""

    name: str
    best: bool
    no_line: str
    lines: tuple[tuple[str, str], ...]
    figure: drawing.Figure | None = None
    rows: tuple[tuple[str, str, str], ...] = ()
    bars: tuple[Bar, ...] = ()
    most: str = ""
    misleads: str = ""
    trials: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """One answered form. columns is empty while something was refused."""

    wanted: Wanted
    volume: str = ""
    columns: tuple[Column, ...] = ()
    headline: str = ""
    faults: tuple[Fault, ...] = ()

    def at(self, name: str) -> tuple[Fault, ...]:
        """The faults of one box."""
        return tuple(fault for fault in self.faults if fault.field == name)


def read_wanted(query: QueryDict) -> Wanted:
    """The form's own state; as it comes while nothing was asked."""
    if "volume" not in query:
        return Wanted()
    tools = tuple(query.getlist("tool"))[:MOST]
    return Wanted(
        volume=query["volume"],
        tools=(*tools, *("",) * (MOST - len(tools))),
        half=query.get("half") == "yes",
        marks=query.get("marks") == "yes",
        spread=query.get("spread", ""),
        draws=query.get("draws", ""),
        holds=query.get("holds") == "yes",
        away=query.get("away", ""),
    )


def choices(book: Catalogue) -> tuple[Instrument, ...]:
    """Every instrument, one for those that differ in nothing but the tip."""
    firsts: dict[str, Instrument] = {}
    for one in book.measures:
        firsts.setdefault(_name(one), one)
    return tuple(firsts.values())


def compare(wanted: Wanted, book: Catalogue) -> Comparison:
    """Read, and judge each instrument. The faults of every box come back together."""
    gathering = Gathering()
    volume = gathering.take(lambda: read_volume(wanted.volume))
    tools = gathering.take(lambda: choose([one for one in wanted.tools if one], choices(book)))
    settings = gathering.take(
        lambda: read_conditions(
            half_line=wanted.half,
            two_marks=wanted.marks,
            spread=wanted.spread,
            draws=wanted.draws,
            holds_reading=wanted.holds,
            away=wanted.away,
        )
    )
    if volume is None or tools is None or settings is None:
        return Comparison(wanted=wanted, faults=tuple(_of_the_list(fault, book) for fault in gathering.faults))
    found = side_by_side(volume, tools, settings)
    full = longest(one.judged.budget for one in found if one.judged is not None)
    best = surest(found)
    columns = tuple(_column(place, one, one is best, full, wanted) for place, one in enumerate(found, start=1))
    return Comparison(wanted=wanted, volume=ml(volume), columns=columns, headline=_headline(found, best))


def _of_the_list(fault: Fault, book: Catalogue) -> Fault:
    """A fault of the instruments in the names that the page shows, not in ids."""
    if fault.field != "instruments":
        return fault
    names = {tool.id: _name(tool) for tool in choices(book)}
    came = ", ".join(names.get(one, one) for one in fault.came.split(", "))
    return replace(fault, came=came, accepted="two to four of the list")


def _name(tool: Instrument) -> str:
    return tool.name.partition(",")[0]


def _headline(found: Iterable[Beside], best: Beside | None) -> str:
    if best is None:
        return "None of these has a line for it."
    each = "; ".join(
        f"{one.name} {percent_words(one.judged.within / float(one.volume))}" for one in found if one.judged is not None
    )
    return f"Surest of these: the {best.name}. 95 % of such draws are off by at most: {each}."


def _column(place: int, one: Beside, best: bool, full: float, wanted: Wanted) -> Column:
    if one.judged is None:
        around = tuple(line for line in one.around or () if line)
        lines = tuple((ml(line), wanted.address(f"{show_number(line)} mL")) for line in around)
        return Column(name=one.name, best=False, no_line=one.no_line, lines=lines)
    judged, first = one.judged, one.judged.budget.dominant
    drawn = Draw(instrument=one.instrument, asked=one.volume, fills=(one.volume,))
    parts = bars(judged.budget, full, float(one.volume), one.instrument)
    chances = (chance for _, chance in judged.beyond)
    return Column(
        name=one.name,
        best=best,
        no_line="",
        lines=(),
        figure=shown.figure_of(f"beside-{place}", drawn, one.volume, ""),
        rows=_rows(judged, one.volume),
        bars=parts,
        most=f"{parts[0].name}, {parts[0].share} of the variance" if first is not None else "",
        misleads=judged.budget.misleads,
        trials=trial_words(judged.trial, chances, float(one.volume)),
    )


def _rows(judged: Judged, volume: Fraction) -> tuple[tuple[str, str, str], ...]:
    """Name, figure and what stands beside it."""
    found, of, level = judged.budget, float(volume), f"{judged.trial.level_percent:g} %"

    def both(mL: float) -> str:
        return f"{percent_words(mL / of)}, {volume_words(mL)}"

    return (
        ("Permissible error", f"{percent(judged.permissible / volume)}, {ml(judged.permissible)}", "either way"),
        ("Standard uncertainty", both(found.u), ""),
        (
            f"Expanded, {level}",
            both(found.expanded),
            f"k = {found.k:.2f}; effective degrees of freedom: {degrees_words(found.nu)}",
        ),
        (f"{level} of draws are within", both(judged.within), "by trials"),
        *(
            (f"Chance of being beyond {percent(by)}", chance_words(chance), f"own error {percent_words(chance.error)}")
            for by, chance in judged.beyond
        ),
    )


def compare_page(wanted: Wanted, book: Catalogue) -> dict[str, object]:
    """Everything that the compare page names."""
    answer = compare(wanted, book)
    known = choices(book)
    return {
        "answer": answer,
        "wanted": wanted,
        "places": tuple(
            (place, one, tuple((tool.id, _name(tool), tool.id == one) for tool in known))
            for place, one in enumerate(wanted.tools, start=1)
        ),
        "says": _announced(answer),
        **{f"{name}_faults": answer.at(name) for name in ("volume", "instruments", "spread", "draws", "away")},
    }


def _announced(answer: Comparison) -> str:
    if count := len(answer.faults):
        return f"{count} thing{'s' if count > 1 else ''} could not be accepted."
    judged = sum(not one.no_line for one in answer.columns)
    return f"{answer.volume}: {judged} of {len(answer.columns)} instruments have a line for it."
