"""What a person typed, or a label prints: numbers and words that have been misread, ratios, a percent that disagrees."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from drawndose.bench.findings import Finding, Level, Waiver
from drawndose.bench.safeguards.rule import Said, in_order, rule
from drawndose.quantities import Refused, Strength, read_strength, show_number, show_strength
from drawndose.reference import How, Misread, Origin, load

LIST = Origin(source="ismp-misread-list", at="dose designations", how=How.READ)
NO_RATIOS = Origin(source="usp-7-no-ratios", at="ratio strengths", how=How.READ)
LABEL = Origin(source="us-label-albuterol-bottle", at="percent beside mg per mL", how=How.SECONDARY)
_UNIT = r"(?:mg|mcg|ng|g|kg|mL|L|units?|mmol|mEq|mg/kg|mcg/kg|mL/h|mg/h|%)"
_TRAILING = re.compile(rf"(?<![\d.])(\d+)\.(\d*?)0+\s?({_UNIT})(?![A-Za-z])", re.IGNORECASE)
_NAKED = re.compile(rf"(?<![\d.])\.(\d+)\s?({_UNIT})(?![A-Za-z])", re.IGNORECASE)
_GLUED = re.compile(r"(?<![\d.,])([\d.,]*\d)((?:mg|mcg|mL|g|units?)(?:/[A-Za-z]+)?)(?![A-Za-z])", re.IGNORECASE)
_THOUSANDS = re.compile(rf"(?<![\d.,])(\d{{4,}})\s?({_UNIT})(?![A-Za-z])", re.IGNORECASE)
_RATIO = re.compile(r"(?<![\d:])1\s?:\s?(\d{1,3}(?:,\d{3})+|\d{3,})(?![\d:])")
_PERCENT = re.compile(r"(\d+(?:\.\d+)?)\s?%\s?\(?,?\s?(\d+(?:\.\d+)?)\s?(mg|mcg)\s?(?:/|per)\s?mL", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Typed:
    """A text with the name of its field. printed: it goes on a label or sheet, so what is misread there is a stop."""

    field: str
    text: str
    printed: bool = False


def the_text(typed: Typed) -> tuple[Typed, ...]:
    """The text as a whole."""
    return (typed,)


@rule(
    "text-that-is-misread",
    Level.STOP,
    "Does the text hold a number or word that has been misread?",
    needs=("a text that a person typed",),
    waiver=Waiver.PREPARER,
    over=the_text,
)
def text_that_is_misread(typed: Typed) -> Said | None:
    """Trailing zero, naked point, dangerous short forms: a stop in print, else a caution."""
    found = [*_numbers(typed.text), *_words(typed.text)]
    if not found:
        return None
    came, write, origin = found[0]
    more = f" ({len(found) - 1} more)" if len(found) > 1 else ""
    says = f'{typed.field}: "{came}" has been misread; write {write}{more}.'
    return Said(says, f"Write {write}.", origin, None if typed.printed else Level.CAUTION)


def _numbers(text: str) -> Iterator[tuple[str, str, Origin]]:
    for hit in _TRAILING.finditer(text):
        part = hit[2].rstrip("0")
        yield hit[0], f"{hit[1]}{'.' + part if part else ''} {hit[3]}", LIST
    for hit in _NAKED.finditer(text):
        yield hit[0], f"0.{hit[1]} {hit[2]}", LIST


def _words(text: str) -> Iterator[tuple[str, str, Origin]]:
    for entry, pattern in _patterns():
        for hit in pattern.finditer(text):
            yield (
                hit["word"],
                f'"{entry.write}" for {entry.means}' if entry.write != entry.means else entry.write,
                entry.origin,
            )


@cache
def _patterns() -> tuple[tuple[Misread, re.Pattern[str]], ...]:
    return tuple((entry, _pattern(entry)) for entry in load().misread)


def _pattern(entry: Misread) -> re.Pattern[str]:
    words = "|".join(re.escape(word) for word in sorted(entry.writes, key=len, reverse=True))
    if entry.after_number:
        return re.compile(rf"(?<=\d)\s?(?P<word>{words})(?![A-Za-z/])")
    if entry.writes[0][0].isalpha():
        return re.compile(rf"(?<![A-Za-z])(?P<word>{words})(?![A-Za-z])")
    return re.compile(rf"(?P<word>{words})")


@rule(
    "spacing-of-numbers",
    Level.NOTE,
    "Do numbers stand apart from their units, with commas from 1,000 up?",
    needs=("a text that a person typed",),
    waiver=Waiver.UNASKED,
    over=the_text,
)
def spacing_of_numbers(typed: Typed) -> Said | None:
    """Glued units and missing commas: understood, and better written apart."""
    found = [(hit[0], f"{hit[1]} {hit[2]}") for hit in _GLUED.finditer(typed.text)]
    found += [(hit[0], f"{int(hit[1]):,} {hit[2]}") for hit in _THOUSANDS.finditer(typed.text)]
    if not found:
        return None
    came, write = found[0]
    return Said(f'{typed.field}: "{came}" is written {write}.', f"Write {write}.", LIST)


@rule(
    "ratio-strength",
    Level.STOP,
    "Is a strength written as a ratio?",
    needs=("a text that a person typed",),
    waiver=Waiver.PREPARER,
    over=the_text,
)
def ratio_strength(typed: Typed) -> Said | None:
    """1:1,000 is 1 mg per mL; print never carries the ratio."""
    hit = _RATIO.search(typed.text)
    if hit is None:
        return None
    strength = read_strength(f"1:{hit[1]}")
    says = f'{typed.field}: "{hit[0]}" is {show_strength(strength)}; ratios have been taken for each other by tens.'
    return Said(says, "Write mg per mL.", NO_RATIOS, None if typed.printed else Level.CAUTION)


@rule(
    "percent-disagrees",
    Level.STOP,
    "Do a percent and the mg per mL beside it agree?",
    needs=("a text that a person typed",),
    waiver=Waiver.NOBODY,
    over=the_text,
)
def percent_disagrees(typed: Typed) -> Said | None:
    """1 % is 10 mg per mL: both are computed, and what disagrees is not used."""
    for hit in _PERCENT.finditer(typed.text):
        percent, beside = _both(hit)
        if percent is not None and beside is not None and percent.ratio.base != beside.ratio.base:
            says = f'{typed.field}: "{hit[0].strip()}" disagrees with itself: {hit[1]} % is {_per_ml(percent)}.'
            return Said(says, "Read the label again.", LABEL)
    return None


def _both(hit: re.Match[str]) -> tuple[Strength | None, Strength | None]:
    try:
        return read_strength(f"{hit[1]} %"), read_strength(f"{hit[2]} {hit[3].lower()}/mL")
    except Refused:
        return None, None


def _per_ml(strength: Strength) -> str:
    return f"{show_number(strength.ratio.to('mg/mL').value)} mg per mL"


RULES = (text_that_is_misread, ratio_strength, percent_disagrees, spacing_of_numbers)


def text_findings(typed: Typed) -> tuple[Finding, ...]:
    """Every finding on a text, stops first."""
    return in_order(found for one in RULES for found in one.findings(typed))
