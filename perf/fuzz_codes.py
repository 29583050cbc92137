"""Mutilated codes and dates through their readers, guided by coverage: nothing may crash, and nothing wrong may be accepted.

Run by `make perf-fuzz`, or `python perf/fuzz_codes.py 20000` for fewer. Seeded: the same count gives the same inputs. A share
of the inputs runs under a tracer (guide.py), and one that takes a step between two lines that no input took before is kept
and mutilated further.

What is accepted is held against the text by other means than the reader's own: values must spell the data again, dates come
from the calendar by trial, check digits by another sum, and a value that hides a dated field must have been asked. Exit 1 on a
crash or a wrong accept.
"""

import random
import re
import sys
import time
import traceback
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from datetime import date
from urllib.parse import unquote

import typed_dates
from guide import Guide

from drawndose.quantities import Refused
from drawndose.reference.codes import Kind, Reading, dates, ndc, scan, ucum
from drawndose.reference.codes.check_digits import check_digit
from drawndose.reference.codes.dictionary import SETS as dictionary_sets
from drawndose.reference.codes.dictionary import dictionary
from drawndose.reference.codes.elements import SEPARATOR

COUNT, PROCESSES, SEED, YEAR = 1_000_000, 2, 20_261_125, 2026
TRACED, GUIDED, LATER = 12, 60_000, 100
"""One input of TRACED runs under the tracer, after the first GUIDED of a process one of LATER: by then new steps are rare."""

GTIN = "00312345678906"
SEEDS = {
    "scan": [
        f"]d201{GTIN}17270200" + "10AB12\x1d21SN5",
        f"]C101{GTIN}17270200" + "10LOT7",
        f"]e001{GTIN}",
        f"]Q301{GTIN}10AB12\x1d17270200",
        f"\x1d01{GTIN}17261130" + "10X\x1d3012",
        f"]d201{GTIN}10AB1217270200",
        f"01{GTIN}70032711300800\x1d10A",
        f"01{GTIN}3103000500" + "10A",
        f"(01){GTIN}(10)AB\\(12(17)270630",
        f"https://id.gs1.org/01/{GTIN}/22/V/10/AB%2F12/21/S?17=270630&linkType=pip",
        "]E06291041500213",
        "]E423456785",
        "12345-678-90",
        "1234567890",
        "12345067890",
        "]d1ABC123",
        "]C10037610425002123456902" + f"{GTIN}3712",
        "8008260131080910" + f"01{GTIN}",
        "]J1414" + "9436465792104" + "254A",
        "80131987654Ad4X4bL5ttr2310c2K",
    ],
    "day": ["270200", "280229", "261301", "19770131", "000101", "760101"],
    "moment": ["2711300800", "2711000800"],
    "ndc": ["12345-678-90", "1234-5678-90", "12345-6789-0", "123456789012", "01234056708"],
    **typed_dates.SEEDS,
    "unit": ["mg/mL", "ug/(kg.min)", "[IU]/mL", "2.5.mg", "mL2.d/mg", "{dose}/d", "[drp]"],
}
WORDS = [f"{ai}" for ai in dictionary().identifiers if len(ai) < 4 or ai[0] in "378"]
WORDS += [
    *typed_dates.WORDS,
    SEPARATOR,
    "{GS}",
    "^]",
    "<GS>",
    "]d2",
    "]C1",
    "]E0",
    "(10)",
    "/10/",
    "?17=",
    "%2F",
    "270200",
    f"01{GTIN}",
    "-",
    "[IU]",
]
IDENTIFIERS = list(dictionary().identifiers.values())
SETS = {name: sorted(signs) for name, (signs, _) in dictionary_sets.items()}
SIGNS = "0123456789" * 3 + "ABXabz-/()%.]{}<>^\\ \x1d\r\n\x00\u0660\u017f\u212a\u202e\uff12\u00e9\u039c"


# --------------------------------------------------------------------------------------------------- accidents


def _sign(rng: random.Random, text: str) -> str:
    place = rng.randrange(len(text) + 1)
    return text[:place] + rng.choice(SIGNS) + text[place + rng.randrange(2) :]


def _word(rng: random.Random, text: str) -> str:
    place = rng.randrange(len(text) + 1)
    return text[:place] + rng.choice(WORDS) + text[place + rng.choice((0, 0, 2, 8)) :]


def _cut(rng: random.Random, text: str) -> str:
    start = rng.randrange(len(text) + 1)
    return text[:start] + text[start + rng.randrange(1, 9) :]


def _twice(rng: random.Random, text: str) -> str:
    start = rng.randrange(len(text) + 1)
    return text + text[start : start + rng.randrange(1, 30)]


def _digit(rng: random.Random, text: str) -> str:
    places = [place for place, sign in enumerate(text) if sign.isdigit()]
    if not places:
        return text + "1"
    place = rng.choice(places)
    return text[:place] + rng.choice("0123456789") + text[place + 1 :]


def _lost(rng: random.Random, text: str) -> str:
    return text.replace(SEPARATOR, "", rng.randrange(1, 3))


def _made(rng: random.Random, text: str) -> str:
    """A GTIN or a date that is right, so that more than the check digit is tried."""
    data = "".join(rng.choice("0123456789") for _ in range(13))
    day = f"{rng.randrange(100):02}{rng.randrange(1, 13):02}{rng.randrange(0, 29):02}"
    return text + rng.choice((f"01{data}{check_digit(data)}", f"17{day}", f"11{day}", f"21{rng.randrange(10**6)}"))


def _field(rng: random.Random, text: str) -> str:
    """A field of any identifier, right in length and characters and mostly in its check digit, before or behind the text."""
    identifier = rng.choice(IDENTIFIERS)
    value = ""
    for part in identifier.parts:
        if part.optional and rng.random() < 0.5:
            break
        piece = "".join(rng.choice(SETS[part.set]) for _ in range(rng.randrange(part.least, part.most + 1)))
        if "csum" in part.rules:
            piece = piece[:-1] + check_digit(piece[:-1])
        if part.rules and part.rules[0].startswith("yymmd"):
            piece = f"{rng.randrange(100):02}{rng.randrange(1, 13):02}{rng.randrange(0, 29):02}"
        value += piece
    made = f"{identifier.ai}{value}"
    if rng.random() < 0.3:
        return f"({identifier.ai}){value}{text}"
    mark = rng.choice((SEPARATOR, SEPARATOR, ""))
    return rng.choice(
        (f"01{GTIN}{made}{mark}", f"{text}{mark}{made}", f"{text[:3]}{made}{mark}{text[3:]}", f"{text}{made}")
    )


ACCIDENTS = (_sign, _sign, _digit, _digit, _word, _word, _cut, _twice, _lost, _made, _field, _field)


def invented(rng: random.Random, corpus: list[str], shorter: int) -> str:
    """One text out of the corpus after one to five accidents, sometimes joined to another."""
    text = rng.choice(corpus)
    if rng.random() < 0.1:
        text += rng.choice(corpus)
    for _ in range(rng.randrange(1, 6)):
        text = rng.choice(ACCIDENTS)(rng, text)
    return text[:shorter]


# ------------------------------------------------------------------------------------------- the other opinion


def wrong_scan(text: str) -> tuple[str, str]:
    """What came of a text, and what is wrong with it if it was accepted."""
    made = scan([text], year=YEAR)
    if made.question is not None:
        return "asked", ""
    if made.answer is None:
        return "plain", ""
    reading = made.answer
    if reading.ndc is not None:
        digits = re.sub("[^0-9]", "", text)
        return "accepted", "" if reading.ndc.digits == digits else f"{reading.ndc} is not {digits}"
    fault = (
        _unspelt(text, made.parts[0].kind, reading) or _unsound(reading) or _hidden(text, made.parts[0].kind, reading)
    )
    return "accepted", fault


def _unspelt(text: str, kind: Kind, reading: Reading) -> str:
    """The values of what was read have to spell the text again."""
    spelt = "".join(one.ai + one.value for one in reading.elements)
    if kind is Kind.LINK:
        there = unquote(text)
        lost = [one for one in reading.elements if one.value not in there and one.value.lstrip("0") not in there]
        return f"{lost[0]} does not stand in the link" if lost else ""
    bare = re.sub(r"\{GS\}|\^\]|\\x1d|\\u001d|\u241d", "", text.strip(" \t\r\n"), flags=re.IGNORECASE | re.ASCII)
    bare = bare.replace(SEPARATOR, "")
    bare = bare[3:] if bare.startswith("]") else bare
    if kind is Kind.GTIN:
        return "" if reading.gtin and int(reading.gtin) == int(bare) else f"{reading.gtin} is not {bare}"
    if bare.lstrip(" ").startswith("("):
        bare = re.sub(r"(?<!\\)\(([0-9]{2,4})\)", r"\1", re.sub(r" *(?<!\\)(\([0-9]{2,4}\)) *", r"\1", bare)).replace(
            "\\(", "("
        )
    return "" if spelt == bare else f"{spelt} is not {bare}"


def _unsound(reading: Reading) -> str:
    """A wrong check digit, an impossible day or a lone lot that was let through."""
    for one in reading.elements:
        if one.ai == "01" and sum(int(d) * (3, 1)[place % 2] for place, d in enumerate(one.value)) % 10:
            return f"the check digit of {one}"
        if one.ai in {"11", "17"} and _by_trial(one.value, True) is None:
            return f"no such day: {one}"
        if one.ai in {"10", "21"} and not 1 <= len(one.value) <= 20:
            return f"the length of {one}"
    there = {one.ai for one in reading.elements}
    if there & {"10", "17", "30"} and not there & {"01", "02", "03", "255", "8006", "8026"}:
        return "no GTIN beside them"
    return ""


def _hidden(text: str, kind: Kind, reading: Reading) -> str:
    """A lot or serial number at the end of data without any separator that ends in a dated field had to be asked."""
    if (
        kind is not Kind.ELEMENT_STRINGS
        or not reading.elements
        or re.search(r"\x1d.|\{GS\}|\^\]|\\x1d|\(", text[4:], re.I)
    ):
        return ""
    last, there = reading.elements[-1], {one.ai for one in reading.elements}
    for ai in ("11", "17"):
        found = re.fullmatch(rf".+{ai}([0-9]{{6}})", last.value)
        if last.ai in {"10", "21"} and ai not in there and found and _by_trial(found[1], True) is not None:
            return f"({ai}){found[1]} may be hidden in {last}"
    return ""


def _by_trial(digits: str, day_00: bool) -> date | None:
    """The day of six digits, found by trying each year of the window and each day of the calendar."""
    if not re.fullmatch("[0-9]{6}", digits, re.ASCII):
        return None
    (year,) = (year for year in range(YEAR - 49, YEAR + 51) if year % 100 == int(digits[:2]))
    days = range(31, 0, -1) if digits[4:] == "00" and day_00 else [int(digits[4:])]
    for day in days:
        try:
            return date(year, int(digits[2:4]), day)
        except ValueError:
            continue
    return None


def wrong_day(text: str) -> tuple[str, str]:
    """A day against the calendar."""
    made = dates.read(text, year=YEAR)
    if len(text) == 8:
        return "accepted", "" if made.date.isoformat().replace("-", "")[:6] == text[
            :6
        ] else f"{made.date} is not {text}"
    return "accepted", "" if made.date == _by_trial(text, True) else f"{made.date} is not {_by_trial(text, True)}"


def wrong_moment(text: str) -> tuple[str, str]:
    """A moment against the calendar and its own digits."""
    made = dates.read_moment(text, year=YEAR)
    same = made.date() == _by_trial(text[:6], False) and f"{made:%H%M}" == text[6:]
    return "accepted", "" if same else f"{made} is not {text}"


def wrong_ndc(text: str) -> tuple[str, str]:
    """The segments against the digits."""
    found = ndc.read(text)
    digits = re.sub("[^0-9]", "", text)
    if any(one.digits != digits for one in found) or ("-" in text and str(found[0]) != text.strip(" ")):
        return "accepted", f"{found} is not {text}"
    return ("asked" if len(found) > 1 else "accepted"), ""


def wrong_unit(text: str) -> tuple[str, str]:
    """A unit against its own code, and against a number inside."""
    made = ucum.read(text)
    again = ucum.read(ucum.write(made))
    outside = re.sub(r"\[[^]]*\]|\{[^}]*\}", "x", text.removeprefix("1/"))
    fault = "" if sorted(again.parts) == sorted(made.parts) else f"{again} is not {made}"
    return "accepted", fault or ("a number inside" if text != "1" and re.search(r"(^|[./(])[0-9]", outside) else "")


TARGETS: dict[str, tuple[Callable[[str], tuple[str, str]], int, int]] = {
    "scan": (wrong_scan, 65, 90),
    "day": (wrong_day, 8, 12),
    "moment": (wrong_moment, 4, 14),
    "ndc": (wrong_ndc, 4, 20),
    "unit": (wrong_unit, 4, 30),
    **typed_dates.TARGETS,
}
"""What is tried: the reader with its other opinion, how often of a hundred, and the longest text."""


# ------------------------------------------------------------------------------------------------------ the run


@dataclass
class Tally:
    """What came of a share of the inputs."""

    counts: Counter[str] = field(default_factory=Counter)
    bad: list[tuple[str, str, str]] = field(default_factory=list)
    slowest: tuple[float, str] = (0.0, "")
    steps: int = 0
    kept: int = 0

    def attempt(self, target: str, text: str) -> None:
        """Read one text; count what came of it."""
        start = time.process_time()
        try:
            outcome, fault = TARGETS[target][0](text)
        except Refused as refused:
            outcome, fault = "refused", "" if all(map(str, refused.faults)) else "a fault without words"
        except Exception:
            outcome, fault = "crashed", traceback.format_exc(limit=-3)
        self.counts[f"{target} {outcome}"] += 1
        if fault:
            self.counts[f"{target} wrong accepts"] += outcome != "crashed"
            self.bad.append((target, text, fault))
        self.slowest = max(self.slowest, (time.process_time() - start, f"{target} {text[:80]!r}"))


def share(seed: int, count: int) -> Tally:
    """A share of the inputs, in its own process."""
    rng, tally, guide = (
        random.Random(seed),
        Tally(),
        Guide(("/reference/codes/", "/bench/moments.py", "/bench/sums/dates.py")),
    )
    corpus = {target: list(texts) for target, texts in SEEDS.items()}
    names = [target for target, (_, often, _) in TARGETS.items() for _ in range(often)]
    for target, texts in SEEDS.items():
        for text in texts:
            guide.watch(lambda target=target, text=text: tally.attempt(target, text))
    for number in range(count - sum(map(len, SEEDS.values()))):
        target = rng.choice(names)
        text = invented(rng, corpus[target], TARGETS[target][2])
        if number % (TRACED if number < GUIDED else LATER):
            tally.attempt(target, text)
        elif guide.watch(lambda target=target, text=text: tally.attempt(target, text)):
            corpus[target].append(text)
            tally.kept += 1
    tally.steps = len(guide.seen)
    return tally


def told(tallies: list[Tally], seconds: float) -> int:
    """Print the table; return the exit status."""
    counts = sum((tally.counts for tally in tallies), Counter())
    bad = [one for tally in tallies for one in tally.bad]
    for target, text, why in bad[:20]:
        print(f"FAULT {target} {text[:200]!r}\n      {why}\n")
    outcomes = ("accepted", "asked", "plain", "refused", "crashed", "wrong accepts")
    total = sum(number for name, number in counts.items() if not name.endswith("wrong accepts"))
    print(f"{total:,} codes and dates in {seconds:.0f} s, {PROCESSES} processes, seed {SEED}")
    print(f"  {'':8}" + "".join(f"{outcome:>14}" for outcome in outcomes))
    for target in TARGETS:
        print(f"  {target:8}" + "".join(f"{counts[f'{target} {outcome}']:>14,}" for outcome in outcomes))
    print(f"  steps between lines found, each process: {', '.join(f'{tally.steps:,}' for tally in tallies)}")
    print(f"  texts kept as beginnings: {', '.join(str(tally.kept) for tally in tallies)}")
    slowest = max(tally.slowest for tally in tallies)
    print(f"  slowest: {slowest[0]:.2f} s, {slowest[1]}")
    return 1 if bad else 0


def main() -> int:
    """Run the inputs in processes."""
    count = int(sys.argv[1].replace(",", "")) if len(sys.argv) > 1 else COUNT
    start = time.perf_counter()
    with ProcessPoolExecutor(PROCESSES) as pool:
        tallies = list(pool.map(share, range(SEED, SEED + PROCESSES), [count // PROCESSES] * PROCESSES))
    return told(tallies, time.perf_counter() - start)


if __name__ == "__main__":
    sys.exit(main())
