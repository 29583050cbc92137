"""The phrases of an order, one small reader for each: a pattern that finds it in a text, and what it is read as.

A phrase is read the same way in a whole order and in a form's field. Patterns have bounded repeats only, so that any text
is read in linear time. What no phrase claims is never ignored: the order reader refuses it.

Sources: ISMP List of Error-Prone Abbreviations (QD, QOD, HS, TIW, U, IU, cc), read in secondary tables; frequency and
as-needed wording is common practice.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from drawndose.bench.order.model import Fill, FillRule, Frequency
from drawndose.quantities import Fault, Manner, Quantity, Refused, read_number, read_quantity

CASELESS = re.IGNORECASE | re.ASCII  # ASCII, or a dotless i and a long s would pass for i and s
N = r"(?<![0-9a-z.,])(?:[0-9][0-9.,]{0,20}[0-9]|[0-9]|[.,][0-9][0-9.,]{0,20})"
"""A number token, lenient: the number reader names what is wrong with it. It never starts inside a number or a word."""

ML = r"(?:ml|mls|millilit(?:er|re)s?|cc)\b"
HOURS = r"(?:h|hr|hrs|hours?)\b"
MINUTES = r"(?:min|mins|minutes?)\b"
_SALINE = r"(?:sodium chloride|saline|nacl)"
DILUENT = (
    rf"(?:sterile\s+|preservative-free\s+|fresh\s+){{0,2}}(?:(?<![0-9.,])0\.(?:9|45)\s?%\s*{_SALINE}|{_SALINE}\s*0\.(?:9|45)\s?%"
    rf"|normal saline|half.?normal saline|half.?strength saline|ns\b|saline|water(?:\s+for\s+(?:inhalation|injection))?)"
)
_UNIT_DOSE = r"(?:\s+(?:unit[- ]doses?|vials?|ampoules?|ampules?))?"


@dataclass(frozen=True, slots=True)
class Phrase:
    """One kind of phrase: the order's field, the pattern, and the reader of a match."""

    field: str
    pattern: re.Pattern[str]
    read: Callable[[re.Match[str]], object]


def _phrase(field: str, pattern: str, read: Callable[[re.Match[str]], object]) -> Phrase:
    return Phrase(field, re.compile(pattern, CASELESS), read)


def volume(match: re.Match[str], field: str = "fill", group: str = "n") -> Quantity:
    """A volume in mL out of the number group of a match."""
    unit = match["unit"] if "unit" in match.re.groupindex and match["unit"] else "mL"
    return above_zero(read_quantity(f"{match[group]} {unit}", field=field, manner=Manner.ORDER), field)


def above_zero(quantity: Quantity, field: str) -> Quantity:
    """The same quantity. Refused when it is nothing: a lost digit, never an order."""
    if quantity.value == 0:
        raise Refused(
            [Fault(field=field, rule="0 is no amount to give", came=str(quantity.value), accepted="more than 0")]
        )
    return quantity


def diluent_named(words: str) -> str:
    """The diluent's own name in the catalogue. "saline" alone stays "saline": the label must say which."""
    plain = words.lower()
    if "water" in plain:
        return "sterile water"
    if "half" in plain or "45" in plain:
        return "sodium chloride 0.45 %"
    if "9" in plain or "normal" in plain or re.search(r"\bns\b", plain):
        return "sodium chloride 0.9 %"
    return "saline"


def _fill(rule: FillRule) -> Callable[[re.Match[str]], tuple[Fill, str]]:
    def read(match: re.Match[str]) -> tuple[Fill, str]:
        named = match.groupdict().get("diluent")
        fill = Fill(rule=rule, volume=volume(match), says=match[0].strip())
        return fill, diluent_named(named) if named else ""

    return read


def _undiluted(match: re.Match[str]) -> tuple[Fill, str]:
    return Fill(rule=FillRule.UNDILUTED, volume=None, says=match[0]), ""


_VOLUME = rf"(?P<n>{N})\s*(?P<unit>{ML})"
_OF_DILUENT = rf"\s*(?:of\s+)?(?P<diluent>{DILUENT}){_UNIT_DOSE}"
_VERB = r"(?:made|make|making|diluted?|diluting|bring|brought|filled?|q\.?s\.?)"
_IN_ALL = r"(?:a\s{1,3})?(?:(?:total|final|fill)\s{0,3})?(?:(?:volume|fill)\s{0,3})?(?:of\s{1,3})?"
_A = r"(?:(?:one|a|an|1)\s+(?:whole\s+)?)?"
_NOT_OF_DILUENT = rf"(?!{_OF_DILUENT.replace('?P<diluent>', '?:')})"  # "to 3 mL of saline": in all, or that much added?

UNSURE_FILLS: tuple[tuple[re.Pattern[str], str, str], ...] = tuple(
    (re.compile(pattern, CASELESS), rule, accepted)
    for pattern, rule, accepted in (
        (
            rf"\b(?:to|in|into|with|add|plus)\s{{1,3}}{_IN_ALL}"
            rf"{N}\s{{0,3}}(?:{ML})?\s{{0,3}}(?:to|or|-|\u2013)\s{{0,3}}{_VOLUME}(?:{_OF_DILUENT})?",
            "a range of volumes must be chosen",
            "made up to 3 mL, or add 3 mL",
        ),
        (
            rf"{N}\s{{0,3}}(?:{ML})?\s{{0,3}}(?:to|or|-|\u2013)\s{{0,3}}{_VOLUME}{_OF_DILUENT}",
            "a range of volumes must be chosen",
            "made up to 3 mL, or add 3 mL",
        ),
        (
            r"(?<!add )(?<!adding )(?<!plus )(?<!with )(?<!\+ )(?<!to )(?<!in )(?<!into )"
            rf"{_VOLUME}{_OF_DILUENT},?\s{{0,3}}{N}\s{{0,3}}{ML}",
            "a volume stands on each side of the diluent",
            "albuterol 0.5 mL of 0.5 %, add 2.5 mL normal saline",
        ),
    )
)
"""What cannot be read as one fill: pattern, rule and accepted spelling."""

FILLS = (
    _phrase("fill", r"\b(?:undiluted|neat|do not dilute|not diluted|no diluent)\b", _undiluted),
    _phrase("fill", rf"\b{_VERB}\s{{1,3}}(?:up\s{{1,3}})?to\s{{1,3}}{_IN_ALL}" + _VOLUME, _fill(FillRule.TO_TOTAL)),
    _phrase(
        "fill",
        r"\bto\s{1,3}(?:a\s{1,3})?(?:total|final|fill)\s{0,3}(?:(?:volume|fill)\s{0,3})?(?:of\s{1,3})?" + _VOLUME,
        _fill(FillRule.TO_TOTAL),
    ),
    _phrase("fill", r"(?<!up )\bto\s{1,3}" + _VOLUME + _NOT_OF_DILUENT, _fill(FillRule.TO_TOTAL)),
    _phrase("fill", rf"(?<!up )\bto\s{{1,3}}{_A}" + _VOLUME + _OF_DILUENT, _fill(FillRule.UNCLEAR)),
    _phrase(
        "fill",
        r"\b(?:for\s{1,3}a\s{1,3})?(?:total|final|fill)\s{0,3}(?:(?:fill|volume)\s{0,3})?(?:of|:|=)?\s{0,3}" + _VOLUME,
        _fill(FillRule.TO_TOTAL),
    ),
    _phrase("fill", _VOLUME + r"\s{1,3}(?:total|final)(?:\s{1,3}(?:volume|fill))?\b", _fill(FillRule.TO_TOTAL)),
    _phrase(
        "fill",
        rf"(?:\b(?:add|adding|plus|(?:diluted?\s+)?with)|\+)\s{{0,3}}{_A}" + _VOLUME + _OF_DILUENT,
        _fill(FillRule.ADD),
    ),
    _phrase("fill", r"\badd(?:ing)?\s{1,3}" + _VOLUME, _fill(FillRule.ADD)),
    _phrase("fill", r"\bup\s{1,3}to\s{1,3}" + _VOLUME + rf"(?:{_OF_DILUENT})?", _fill(FillRule.UNCLEAR)),
    _phrase(
        "fill",
        rf"(?:\b(?:diluted?\s+)?(?:in|into|and)\s{{1,3}}|,\s{{0,3}}){_A}" + _VOLUME + _OF_DILUENT,
        _fill(FillRule.UNCLEAR),
    ),
    _phrase("fill", r"\b(?:diluted?\s+)?in\s{1,3}" + _VOLUME, _fill(FillRule.UNCLEAR)),
    _phrase("fill", _VOLUME + _OF_DILUENT, _fill(FillRule.UNCLEAR)),
    _phrase("fill", rf"(?P<diluent>{DILUENT}){_UNIT_DOSE},?\s{{0,3}}" + _VOLUME, _fill(FillRule.UNCLEAR)),
)

DILUENTS = (
    _phrase(
        "diluent",
        rf"(?:\b(?:diluted?\s+)?(?:with|in|using)\s{{1,3}})?(?P<diluent>{DILUENT})",
        lambda match: diluent_named(match["diluent"]),
    ),
)


def _every(match: re.Match[str]) -> Frequency:
    value = read_number(match["n"], field="frequency", manner=Manner.ORDER)
    unit = "min" if match["unit"].lower().startswith("m") else "h"
    interval = above_zero(Quantity.of_text(value, unit), "frequency")
    return Frequency(says=match[0].strip(), interval=interval, count=_count(match), days=_days(match))


def _count(match: re.Match[str]) -> int | None:
    """After how many doses it ends; None where the order does not say, or says days."""
    return _some(match, match["doses"] or match["bare"], "doses")


def _days(match: re.Match[str]) -> int | None:
    """For how many days it is given; None where the order does not say, or says doses."""
    days = _some(match, match["span"], "days")
    return days if days is None or match["of"].lower().startswith("d") else 7 * days


def _some(match: re.Match[str], said: str | None, of: str) -> int | None:
    if said is not None and not int(said):
        raise Refused(
            [Fault(field="frequency", rule=f"0 {of} are none", came=match[0].strip(), accepted=f"for 3 {of}")]
        )
    return int(said) if said is not None else None


_TIMES = {
    "once": 1,
    "one": 1,
    "twice": 2,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "eight": 8,
    "twelve": 12,
}
_LATIN = {"bid": 2, "tid": 3, "qid": 4}


def _a_day(match: re.Match[str]) -> Frequency:
    word = (match["once"] or match["times"]).lower()
    count = int(word) if word.isdecimal() else _TIMES[word]
    return Frequency(says=match[0].strip(), in_a_day=count, count=_count(match), days=_days(match))


def _single(match: re.Match[str]) -> Frequency:
    return Frequency(says=match[0].strip())


_COUNT = (  # a count is claimed only whole and with its word, or the 12 of "x 125 mg" would leave a dose of 5 mg
    r"(?:,?\s{0,3}(?:x|for|times|,)\s{0,3}(?P<doses>[0-9]{1,2})\s{0,3}(?:doses?|times)\b(?!\s{1,3}(?:daily|an?\b|per\b|each\b))"
    r"|\s{0,3}(?:x|for)\s{0,3}(?P<span>[0-9]{1,2})\s{0,3}(?P<of>days?|weeks?)\b"
    r"|\s{0,3}(?:x|times)\s{0,3}(?P<bare>[0-9]{1,2})(?=$|[,;.)](?:\s|$)|\s(?:by|via|with|as|if|when|prn)\b))?"
)
FREQUENCIES = (
    _phrase(
        "frequency",
        rf"\b(?:every|q)\s{{0,3}}(?P<n>[0-9]{{1,3}})\s?(?:to|-|\u2013)\s?[0-9]{{1,3}}\s?(?P<unit>{HOURS}|{MINUTES})",
        lambda match: Frequency(says=match[0], unclear=True),
    ),
    _phrase(
        "frequency",
        rf"\b(?:every|q)\s{{0,3}}(?P<n>[0-9]{{1,3}})\s{{0,3}}(?P<unit>{HOURS}|{MINUTES})" + _COUNT,
        _every,
    ),
    _phrase(
        "frequency",
        r"(?<![.,])\b(?:(?P<once>once|twice)|(?P<times>[1-9][0-9]?|one|two|three|four|five|six|eight|twelve)\s{0,3}(?:times?|doses?))"
        r"\s{1,3}(?:daily|a\s{1,3}day|per\s{1,3}day|each\s{1,3}day)\b" + _COUNT,
        _a_day,
    ),
    _phrase(
        "frequency",
        r"\b(?P<latin>bid|tid|qid)\b" + _COUNT,
        lambda match: Frequency(
            says=match[0].strip(), in_a_day=_LATIN[match["latin"].lower()], count=_count(match), days=_days(match)
        ),
    ),
    _phrase(
        "frequency",
        r"(?<!total )(?<!max )(?<!maximum )\bdaily\b(?!\s(?:dose|total|max|maximum|amount|limit)\b)" + _COUNT,
        lambda match: Frequency(says=match[0].strip(), in_a_day=1, count=_count(match), days=_days(match)),
    ),
    _phrase("frequency", r"\bevery\s{1,3}[0-9]{1,2}\s{1,3}weeks\b|\bweekly\b|\bmonthly\b|\bevery other day\b", _single),
    _phrase("frequency", r"\b(?:once|now|stat|single dose|one dose|first dose|one time|at once)\b", _single),
    _phrase("frequency", r"\bcontinuous(?:ly)?\b", _single),
)

_REASON = (  # a closed list: free words here would swallow "wheeze, hold if the heart races"
    r"(?:(?:mild|moderate|severe|acute|increased|thick)\s)?(?:wheez(?:es?|ing)|short(?:ness)? of breath|breathlessness|difficulty breathing"
    r"|work of breathing|respiratory distress|bronchospasm|dyspno?ea|cough(?:ing)?|stridor|croup|asthma|copd|chest tightness|congestion"
    r"|mucus|secretions)"
)
AS_NEEDED = (
    _phrase(
        "as needed",
        rf"\b(?:as needed|prn|when needed|if needed)\b(?:\s{{1,3}}(?:for\s{{1,3}})?(?P<why>{_REASON}(?:(?:,?\s(?:and|or)\s|,\s){_REASON}){{0,4}})\b)?",
        lambda match: match["why"] or "reason not said",
    ),
)

DURATIONS = (
    _phrase(
        "duration",
        rf"\b(?:for|over|during|x)\s{{0,3}}(?P<n>{N})\s{{0,3}}(?P<unit>{HOURS}|{MINUTES})",
        lambda match: above_zero(
            read_quantity(f"{match['n']} {match['unit']}", field="duration", manner=Manner.ORDER), "duration"
        ),
    ),
)

OUTPUTS = (
    _phrase(
        "output",
        rf"(?:\b(?:at|with)\s{{1,3}})?(?:an?\s{{1,3}})?(?:\b(?:nebuli[sz]er\s{{1,3}})?output\s{{1,3}}(?:of\s{{1,3}}|is\s{{1,3}})?)?"
        rf"(?P<n>{N})\s{{0,3}}(?P<unit>ml\s?(?:/|per)\s?(?:h|hr|hour)\b)(?:\s{{1,3}}output\b)?",
        lambda match: above_zero(read_quantity(f"{match['n']} mL/h", field="output", manner=Manner.ORDER), "output"),
    ),
)

CUPS = (
    _phrase(
        "cup",
        rf"\b(?:(?:in|into|with|using)\s{{1,3}})?(?:an?\s{{1,3}})?(?P<n>{N})\s{{0,3}}-?(?P<unit>{ML})\s{{1,3}}(?:nebuli[sz]er\s{{1,3}})?cup\b",
        lambda match: volume(match, "cup"),
    ),
)

DEVICES = (
    _phrase(
        "device",
        r"\b(?:(?:by|via|with|using|through)\s{1,3})?(?:an?\s{1,3})?(?P<kind>small[- ]volume|large[- ]volume|jet|mesh|vibrating[- ]mesh|ultrasonic"
        r"|breath[- ]actuated|breath[- ]enhanced)\s{1,3}nebuli[sz]er\b",
        lambda match: f"{match['kind'].lower().replace('-', ' ')} nebulizer",
    ),
    _phrase(
        "device",
        r"\b(?:by|via|with)\s{1,3}(?:an?\s{1,3})?(?:face\s?)?(?P<kind>mask|mouthpiece)\b",
        lambda m: m["kind"].lower(),
    ),
)

ROUTES = (
    _phrase(
        "route",
        r"\b(?:(?:by|via|per|through|with)\s{1,3})?(?:an?\s{1,3})?(?:nebuli[sz]ers?|nebuli[sz]ation|nebuli[sz]ed|nebs?)"
        r"(?:\s{1,3}(?:inhalation|solution|treatment))?\b",
        lambda match: "nebulized",
    ),
)

TOGETHER = re.compile(r"\b(?:mix(?:ed)?(?:\stogether)?|together|in\s(?:one|the\ssame)\scup)\b", CASELESS)
"""Several drugs in one cup, said."""

OTHER_ROUTES = re.compile(
    r"\b(?:iv|intravenous(?:ly)?|im|intramuscular(?:ly)?|subcut|subcutaneous(?:ly)?|sc|sq|orally|oral|po|by mouth|rectal(?:ly)?|nasal(?:ly)?"
    r"|intranasal(?:ly)?|topical(?:ly)?|sublingual(?:ly)?|mdi|inhaler|puffs?)\b",
    CASELESS,
)

DANGERS: tuple[tuple[re.Pattern[str], str, str], ...] = tuple(
    (re.compile(pattern, flags), rule, accepted)
    for pattern, rule, accepted, flags in (
        (r"\bq\.?d\b\.?|\bq1d\b", "QD is read as QID", "daily", CASELESS),
        (r"\bq\.?o\.?d\b\.?", "QOD is read as QD or QID", "every other day", CASELESS),
        (r"\bq?hs\b", "HS is read as half-strength and as bedtime", "at bedtime", CASELESS),
        (r"\bt\.?i\.?w\b\.?", "TIW is read as three times a day", "three times weekly", CASELESS),
        (r"\bo\.?d\b\.?", "OD is read as right eye and as daily", "daily", CASELESS),
        (rf"{N}\s?u\b", "U is read as 0, 4 or cc", "units", CASELESS),
        (rf"{N}\s?mu\b", "MU is read as mg or as thousand", "million units", CASELESS),
        (rf"{N}\s?cc\b", "cc is read as 00 or U", "mL", CASELESS),
        (r"\bmgso4\b|\bmso4\b|\bms\b", "a drug's name is not abbreviated", "the full generic name", CASELESS),
        (r"\bd/c\b", "D/C is read as discharge and as stop", "stop", CASELESS),
        (r"@", "@ is read as 2", "at", 0),
        (r"[<>]", "< and > are read the wrong way round", "less than, more than", 0),
    )
)
