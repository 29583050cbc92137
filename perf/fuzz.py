"""Invented and mutilated orders through the reader and the engine: nothing may crash, and no plan may give another dose.

Run by `make perf-fuzz`, or `python perf/fuzz.py 2000` for fewer. Seeded: the same count gives the same orders. Each order
is a realistic one after some accidents (characters, words, units, look-alike letters, two orders run together), or noise.

A ready plan is held against the order's own text, read again here by other means: the dose of each drug, resolved with
fractions, against what the takes put into the cup. Exit 1 on any crash or mismatch.
"""

import random
import re
import sys
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from fractions import Fraction

from drawndose import InHand, Order, Plan, Policy, Refused, Status, every_pack, load, plan, read_order

COUNT, PROCESSES, SEED = 100_000, 2, 20_241_125
BOOK = load()
POLICY = Policy(hazardous_here=True)
TOOLS = (*BOOK.instruments, *(cup for cup in BOOK.cups if cup.id in {"cup-10"}))

CORPUS = """
albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours
albuterol 2.5 mg by nebulizer every 20 minutes x 3 doses
albuterol 0.15 mg/kg (min 2.5 mg, max 5 mg) by nebulizer, weight 20 kg, made up to 3 mL
albuterol 0.15 mg/kg/dose by nebulizer every 4 hours as needed for wheezing, 18 kg, age 4 years
albuterol 0.5 mL of 0.5 % plus 2.5 mL normal saline by nebulizer q4h prn wheeze
albuterol 0.5 % 0.5 mL by nebulizer, add 2.5 mL 0.9 % sodium chloride
albuterol 5 mg/mL 0.5 mL made up to 3 mL by nebulizer
albuterol 0.083 % 3 mL by nebulizer every 6 hours
albuterol 1.25 mg undiluted by nebulizer
albuterol 2.5 to 5 mg by nebulizer every 4 to 6 hours
albuterol 2.5 mg in 3 mL normal saline by nebulizer
albuterol sulfate 3 mg by nebulizer made up to 3 mL with saline
salbutamol 5 mg nebulized four times daily to a total volume of 4 mL
10 mg/h albuterol by nebulizer for 4 h, output 25 mL/h
albuterol 0.5 mg/kg/h max 15 mg/h by nebulizer for 2 hours, output 10 mL/h, weight 22 kg
albuterol 7.5 mg/h continuously by large volume nebulizer for 3 h with output of 30 mL per hour
albuterol 2.5 mg and ipratropium 0.5 mg by nebulizer every 6 hours
ipratropium 0.5 mg/albuterol 2.5 mg by nebulizer
ipratropium and albuterol 0.5 mg and 2.5 mg by nebulizer
albuterol 2.5 mg, acetylcysteine 600 mg by nebulizer with mouthpiece
albuterol 2.5 mg + budesonide 0.5 mg by jet nebulizer twice daily
2.5 mg albuterol and 0.25 mg ipratropium by nebulizer to 5 mL with normal saline
albuterol 0.3 mg/kg/day divided in 2 doses by nebulizer, weight 20 kg, to 3 mL
levalbuterol 0.63 mg by nebulizer three times daily
levalbuterol 1.25 mg by nebulizer tid
levalbuterol 0.31 mg by nebulizer every 8 hours
ipratropium 500 mcg by nebulizer qid
ipratropium 0.02 % 2.5 mL by nebulizer
ipratropium 250 mcg by nebulizer
racepinephrine 2.25 % 0.05 mL/kg max 0.5 mL by nebulizer, to 3 mL, weight 8 kg
racepinephrine 0.5 mL of 2.25 % made up to 3 mL with normal saline by nebulizer
racemic epinephrine 11.25 mg by nebulizer to 3 mL
epinephrine 5 mg by nebulizer once
epinephrine 0.5 mL/kg of 1:1000 max 5 mL by nebulizer, weight 7 kg
epinephrine 1 in 1,000 5 mL by nebulizer
L-epinephrine 3 mg nebulized now
acetylcysteine 20 % 3 mL by nebulizer three times daily
acetylcysteine 600 mg by nebulizer
budesonide 1 mg/day by jet nebulizer with mask twice daily
budesonide 0.5 mg by jet nebulizer daily
cromolyn 20 mg by nebulizer four times daily
formoterol 20 mcg by nebulizer twice daily
arformoterol 15 mcg by nebulizer every 12 hours
revefenacin 175 mcg by nebulizer once daily
glycopyrrolate 25 mcg by nebulizer twice daily
tobramycin 300 mg by nebulizer bid
aztreonam 75 mg by nebulizer three times daily
colistimethate 1 million units by nebulizer twice daily
colistimethate 1,000,000 units by nebulizer twice daily to 3 mL with sterile water
colistin base activity 75 mg by nebulizer twice daily
colistimethate sodium 80 mg by nebulizer in 3 mL
dornase alfa 2.5 mg by jet nebulizer daily
pentamidine 300 mg by nebulizer once
ribavirin 6 g by nebulizer
sodium chloride 3 % 4 mL by nebulizer twice daily
7 % hypertonic saline 4 mL by nebulizer
0.9 % sodium chloride 3 mL by nebulizer every 4 hours as needed for thick secretions
lidocaine 4 % 4 mL by nebulizer once
magnesium sulfate 151 mg by nebulizer
magnesium 2.5 mmol by nebulizer
terbutaline 10 mg by nebulizer add 2 mL normal saline
terbutaline base 0.82 mg by nebulizer to 3 mL
iloprost 5 mcg by nebulizer 6 times daily
treprostinil 18 mcg by nebulizer
""".strip().splitlines()


def _listed(text: str) -> list[str]:
    return [piece.strip() for piece in text.replace("\n", " ").split("|")]


UNITS = _listed("""
mg | mcg | g | mL | mg/kg | mL/kg | mg/h | mg/day | units | million units | mmol | % | kg | lb | cc | h
""")
WORDS = _listed("""
not | no | hold | stop | double | half | then | up to | max | min | per | each | one | daily | every | x 2 | to |
in | of | for | with | add | plus | and | or | / | - | . | , | ( | ) | + | divided in 3 doses | 2.5 mg | 5 mg |
3 mL | 0.5 % | 1:1000 | max 10 mg/day | 20 kg | saline | undiluted | albuterol | 10 | 0 | .5 | continuous |
for 4 h | output 20 mL/h | 4 years old | per dose | twice daily | 3 mg/kg/day | 1 mg/vial | breaths
""")
NOISE = "\u200b\u202e\u00a0\u2009\n\t\u00bd\u00b2\u00b5\u03bc\u0430\u0435\u043e\u0441\uff12\uff15\u2013\u2014\u2212\u201c\u2019\u0131\u017f\u212a\u00b7\u066b\u0660\x00@<>|"
TYPED = "0123456789.,/%-+() abcdefghijklmnopqrstuvwxyz"


def _character(rng: random.Random, text: str) -> str:
    place = rng.randrange(len(text) + 1)
    drawn = rng.choice(TYPED)
    return rng.choice(
        (
            text[:place] + text[place + 1 :],
            text[:place] + drawn + text[place:],
            text[:place] + drawn + text[place + 1 :],
        )
    )


def _noise(rng: random.Random, text: str) -> str:
    place = rng.randrange(len(text) + 1)
    return text[:place] + rng.choice(NOISE) + text[place + rng.randrange(2) :]


def _words(rng: random.Random, text: str) -> str:
    words = text.split(" ")
    one, other = rng.randrange(len(words)), rng.randrange(len(words))
    match rng.randrange(4):
        case 0:
            words[one], words[other] = words[other], words[one]
        case 1:
            del words[one]
        case 2:
            words.insert(other, words[one])
        case _:
            words.insert(one, rng.choice(WORDS))
    return " ".join(words)


def _unit(rng: random.Random, text: str) -> str:
    found = list(re.finditer(r"(?<=[0-9])\s?(?:mg|mcg|mL|g|units|%|kg|h)(?:/(?:kg|h|day))*", text))
    if not found:
        return text
    hit = rng.choice(found)
    return f"{text[: hit.start()]} {rng.choice(UNITS)}{text[hit.end() :]}"


def _number(rng: random.Random, text: str) -> str:
    found = list(re.finditer(r"[0-9][0-9.,]*", text))
    if not found:
        return text
    hit = rng.choice(found)
    drawn = rng.choice(
        (
            str(rng.randrange(0, 1000)),
            f"{rng.randrange(0, 60)}.{rng.randrange(0, 100)}",
            f"0.0{rng.randrange(1, 100)}",
            "0",
        )
    )
    return text[: hit.start()] + drawn + text[hit.end() :]


def _joined(rng: random.Random, text: str) -> str:
    return text + rng.choice((" ", ", ", " and ", ". ", "\n", "/")) + rng.choice(CORPUS)


ACCIDENTS: tuple[Callable[[random.Random, str], str], ...] = (
    _character,
    _character,
    _noise,
    _words,
    _words,
    _unit,
    _number,
    _number,
    _joined,
)


def invented(rng: random.Random) -> str:
    """One order: mostly a realistic one after one to four accidents; some noise; a few very long ones."""
    kind = rng.random()
    if kind < 0.02:
        return "".join(rng.choice(TYPED + NOISE) for _ in range(rng.randrange(1, 300)))
    if kind < 0.021:
        piece = rng.choice((*WORDS, *CORPUS, rng.choice(NOISE), rng.choice(TYPED)))
        return (piece + rng.choice(("", " ", ", "))) * (rng.randrange(1, 10_000) // (len(piece) + 2) + 1)
    text = rng.choice(CORPUS)
    for _ in range(rng.randrange(0, 5)):
        text = rng.choice(ACCIDENTS)(rng, text)
    return text


@dataclass
class Tally:
    """What came of a share of the orders."""

    counts: Counter[str] = field(default_factory=Counter)
    bad: list[tuple[str, str]] = field(default_factory=list)
    slowest: tuple[float, str] = (0.0, "")
    checked: int = 0


def bench(order: Order) -> tuple[InHand, ...]:
    """Containers of the order's drugs only, and the diluents: what a person would have put there."""
    wanted = {made.id: made for line in order.lines for made in BOOK.presentations_of(line.drug.id)}
    return every_pack((wanted | {made.id: made for made in BOOK.diluents}).values())


NUMBER = re.compile(r"[0-9](?:[0-9.,]*[0-9])?")


def wrong(order: Order, made: Plan) -> str:
    """What is wrong with a ready plan, or nothing."""
    for number in NUMBER.finditer(order.text):
        if not any(span.start <= number.start() and number.end() <= span.end for span in order.spans):
            return f"the number {number[0]} was read in two pieces, or not at all"
    for index in range(len(order.lines)):
        if fault := _unwritten(order, index) or _other_dose(order, index, made):
            return fault
    for take in made.takes:
        for active, amount in ((one, two) for one in take.in_hand.presentation.actives for two in take.amounts):
            held = take.in_hand.per_ml(active).base * take.stock_in_cup / 1000
            if amount.of == active.strength.amount.of and not _near(held, amount.base):
                return f"{take.in_hand.name} gives {float(held)} and the plan says {float(amount.base)}"
    return ""


def _near(one: Fraction, other: Fraction) -> bool:
    """Equal but for a printed percent, which is rounded (0.083 % is 2.5 mg in 3 mL)."""
    return abs(one - other) * 200 <= other


def _unwritten(order: Order, index: int) -> str:
    """Every number of the dose stands in the text as it is, or with the word million or thousand after it."""
    dose = order.lines[index].dose
    written = {Fraction(number.replace(",", "")) for number in NUMBER.findall(order.text) if number.count(".") < 2}
    for quantity in (
        dose.amount,
        dose.also,
        dose.minimum,
        dose.maximum,
        order.patient.weight,
        order.duration,
        order.output,
    ):
        if quantity is not None and not written & {quantity.value, quantity.value / 10**6, quantity.value / 10**3}:
            return f"{quantity} is not written anywhere"
        if (
            quantity is not None
            and quantity.value not in written
            and not re.search("million|thousand", order.text, re.IGNORECASE)
        ):
            return f"{quantity} is not written as it is"
    return ""


def _by_hand(order: Order, index: int) -> Fraction:
    """The dose in g, units or the like, worked out again with bare fractions from the order's values."""
    dose = order.lines[index].dose
    assert dose.amount is not None
    powers = dict(dose.amount.unit.parts)
    value = dose.amount.base
    if "day" in powers:
        times = dose.divided_by or (order.frequency.in_a_day if order.frequency else None)
        assert times is not None
        value = value * 86400 / times
    if "kg" in powers:
        assert order.patient.weight is not None
        value *= order.patient.weight.value
        value = min(value, dose.maximum.base) if dose.maximum else value
        value = max(value, dose.minimum.base) if dose.minimum else value
    if powers.keys() & {"h", "min"}:
        assert order.duration is not None
        value *= order.duration.base
    if dict(dose.amount.dimension).get("volume"):
        assert dose.strength is not None
        value *= dose.strength.amount.base / dose.strength.per.base
    return value


def _other_dose(order: Order, index: int, made: Plan) -> str:
    """The dose by hand against what the takes put into the cup; another moiety's amount is converted by the engine alone."""
    wanted = _by_hand(order, index)
    resolved = made.doses[index].amount
    if resolved is None or resolved.base != wanted:
        return f"the dose by hand is {float(wanted)}, not {resolved}"
    given = [
        amount for take in made.takes for place, amount in zip(take.lines, take.amounts, strict=True) if place == index
    ]
    if not given:
        return "no take serves the dose"
    if given[0].of != resolved.of:
        return ""
    total = sum((amount.base for amount in given), Fraction(0))
    same = _near(total, wanted) if order.lines[index].dose.strength is not None else total == wanted
    return "" if same else f"the takes give {float(total)}, not {float(wanted)}"


def attempt(text: str, tally: Tally) -> None:
    """Read one order and plan it; count what came of it."""
    start = time.perf_counter()
    try:
        order = read_order(text, catalogue=BOOK)
        made = plan(order, containers=bench(order), instruments=TOOLS, policy=POLICY)
    except Refused as refused:
        tally.counts["refused" if refused.faults else "refused without a fault"] += 1
    except Exception:
        tally.counts["crashed"] += 1
        tally.bad.append((text, traceback.format_exc(limit=-3)))
    else:
        tally.counts[made.status.value] += 1
        if made.status is Status.READY:
            tally.checked += 1
            if fault := wrong(order, made):
                tally.counts["mismatch"] += 1
                tally.bad.append((text, fault))
    tally.slowest = max(tally.slowest, (time.perf_counter() - start, text[:100]))


def share(seed: int, count: int) -> Tally:
    """A share of the orders, in its own process."""
    rng, tally = random.Random(seed), Tally()
    for _ in range(count):
        attempt(invented(rng), tally)
    return tally


def told(tallies: Iterable[Tally], seconds: float) -> int:
    """Print the table; return the exit status."""
    tallies = list(tallies)
    counts = sum((tally.counts for tally in tallies), Counter())
    bad = [one for tally in tallies for one in tally.bad]
    for text, why in bad[:20]:
        print(f"FAULT {text[:300]!r}\n      {why}\n")
    total = sum(counts[name] for name in counts if name != "mismatch")
    print(f"{total:,} orders in {seconds:.0f} s, {PROCESSES} processes, seed {SEED}")
    for name in ("ready", "choose", "ask", "stopped", "refused", "crashed", "mismatch"):
        print(f"  {name:<9}{counts[name]:>9,}")
    slowest = max(tally.slowest for tally in tallies)
    print(f"  doses of ready plans read again and compared: {sum(tally.checked for tally in tallies):,}")
    print(f"  slowest order: {slowest[0]:.2f} s, {slowest[1]!r}")
    return 1 if bad or counts["refused without a fault"] else 0


def main() -> int:
    """Run the orders in processes."""
    count = int(sys.argv[1].replace(",", "")) if len(sys.argv) > 1 else COUNT
    start = time.perf_counter()
    with ProcessPoolExecutor(PROCESSES) as pool:
        tallies = list(pool.map(share, range(SEED, SEED + PROCESSES), [count // PROCESSES] * PROCESSES))
    return told(tallies, time.perf_counter() - start)


if __name__ == "__main__":
    sys.exit(main())
