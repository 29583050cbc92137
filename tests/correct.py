"""Correct preparations, invented by seed over every presentation, and the faults that can be planted in one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from random import Random
from zoneinfo import ZoneInfo

from drawndose import InHand, Plan, Policy, Status, load, plan, read_order
from drawndose.bench.condition import Condition, Kept, Sight
from drawndose.bench.findings import Finding, Level
from drawndose.bench.labels import TO_WRITE
from drawndose.bench.moments import Span
from drawndose.bench.preparation import Needle, Preparation
from drawndose.bench.safeguards import preparation_findings
from drawndose.quantities import Quantity, Refused, show, show_number
from drawndose.reference import Container, DilutionRule, Presentation

BOOK = load()
ZONE = ZoneInfo("America/Chicago")
POLICY = Policy(bottle_life=Span(28, "day"), hazardous_here=True, equivalences=("expert-society",))
PERSON = "204118"
CUPS = [cup for cup in BOOK.cups if cup.id in {"cup-6", "cup-10"}]


@dataclass(frozen=True)
class Correct:
    """One preparation in which everything is as it should be: the plan, and what was really done."""

    presentation: Presentation
    text: str
    plan: Plan
    made: Preparation

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is found on it: on the way, its containers, and what was done."""
        return (*self.plan.findings, *preparation_findings(self.made))


AGES = [Quantity.of_text(years, "year") for years in (40, 15, 8, 5, 3)]
WEIGHTS = dict(zip(AGES, (Quantity.of_text(kg, "kg") for kg in (70, 55, 25, 18, 14)), strict=True))
WHOLE = {Container.PLASTIC_UNIT_DOSE, Container.POWDER_VIAL, Container.GLASS_AMPOULE}
Dose = tuple[str, Quantity, str]


def doses(presentation: Presentation) -> list[Dose]:
    """What may be ordered of it, with an age and a frequency that it is published for. Where its own texts give no amount: what
    others of the drug give, without any whole containers once."""
    found = _published(presentation)
    if not found and presentation.container in WHOLE:
        whole = [show(presentation.actives[0].amount_in(pack.volume)).replace(",", "") for pack in presentation.packs]
        found = [(one, AGES[0], "once") for one in whole]
    if not found:
        others = (one for one in BOOK.presentations_of(presentation.drug) if len(one.actives) == 1)
        found = [dose for one in others for dose in _published(one) if " mL" not in dose[0]]
    return list(dict.fromkeys(found))


def _published(presentation: Presentation) -> list[Dose]:
    found: list[Dose] = []
    for dose in presentation.doses:
        age = next((age for age in AGES if dose.age.admit(age)), None)
        if age is None or dose.no_dose or dose.delivered:
            continue
        values = dict(dose.values)
        amounts = [
            value for name, value in values.items() if name in {"each", "from", "to"} and len(value.dimension) == 1
        ]
        most = values.get("maximum")
        if "per_kg" in values and most is not None and values["per_kg"] * WEIGHTS[age] >= most:
            amounts.append(most)
        found += [(_said(presentation, value), age, _often(values)) for value in amounts]
    return found


def _said(presentation: Presentation, value: Quantity) -> str:
    """The amount; a volume with the strength that it is of, or as an amount where an order cannot name that strength."""
    active = presentation.actives[0]
    printed = active.printed.partition("(")[0].strip()
    if value.dimension != (("volume", 1),):
        return show(value).replace(",", "")
    if "mmol" in printed:
        return show((active.strength.ratio * value).to(str(active.strength.amount.unit))).replace(",", "")
    return f"{printed} {show(value).replace(',', '')}"


def _often(values: dict[str, Quantity]) -> str:
    """How often, by what is published beside the dose."""
    if "most_often" in values:
        return f"{show_number(values['most_often'].value)} times daily"
    if "least_interval" in values and values["least_interval"].to("h").value >= 1:
        return f"every {show(values['least_interval'].to('h'))}"
    return "once"


def texts(presentation: Presentation, random: Random) -> str:
    """An order for it, complete, with the fill that its label asks for."""
    names = [drug.name for drug in BOOK.drugs if drug.id in presentation.drugs]
    age, often = AGES[0], "once"
    if len(names) > 1:
        parts = [f"{one.moiety} {show(one.amount_in(presentation.packs[0].volume))}" for one in presentation.actives]
        drugs = " and ".join(parts)
    else:
        amount, age, often = random.choice(doses(presentation))
        drugs = f"{names[0]} {amount}"
    rule = presentation.dilution
    fill = ""
    if rule is not None and rule.rule is DilutionRule.TO_TOTAL and rule.volume is not None:
        fill = f", made up to {show(rule.volume)}"
    liquid = f" with {rule.diluents[0]}" if fill and rule is not None and rule.diluents else ""
    weight = f", weight {show(WEIGHTS[age])}" if age < AGES[0] else ""
    return f"{drugs} by nebulizer{fill}{liquid}, {often}, {show(age)} old{weight}"


def condition(presentation: Presentation, now: datetime, random: Random) -> Condition:
    """A container in order: in date, and an open one dated, in its life, kept as its label says, and this person's."""
    expiry = now.date() + timedelta(days=random.randint(30, 900))
    if not presentation.multi_dose or random.random() < 0.5:
        return Condition(lot="4K21", expiry=expiry, person=PERSON)
    opened = later(now, -60 * random.randint(1, 90))
    kept = Kept.REFRIGERATED if any(life.kept for life in presentation.lives) else None
    return Condition(lot="4K21", expiry=expiry, opened=opened, kept=kept, owner=PERSON, person=PERSON)


def moment(random: Random) -> datetime:
    """A minute of the years 2026 and 2027."""
    return datetime(2026, 1, 1, tzinfo=ZONE) + timedelta(minutes=random.randint(0, 2 * 365 * 24 * 60))


def later(start: datetime, minutes: int) -> datetime:
    """So many elapsed minutes later: Python's own sum counts on the wall clock, and forgets which of two equal hours it was."""
    return (start.astimezone(UTC) + timedelta(minutes=minutes)).astimezone(ZONE)


def planned(presentation: Presentation, random: Random) -> tuple[str, Plan, datetime] | None:
    """A plan for an order of it that is ready; None where the catalogue knows no dose, or a person would have to choose."""
    if presentation.diluent or (len(presentation.actives) == 1 and not doses(presentation)):
        return None
    now = moment(random)
    have = [
        InHand(presentation=presentation, pack=pack, condition=condition(presentation, now, random))
        for pack in presentation.packs
    ]
    have += [
        InHand(presentation=one, pack=pack, condition=condition(one, now, random))
        for one in BOOK.diluents
        for pack in one.packs
    ]
    text = texts(presentation, random)
    try:
        order = read_order(text, catalogue=BOOK)
    except Refused:
        return None
    # A reservoir of its own device, larger than any cup, is not described: what holds it is then asked, and does not hold the plan.
    small = max(one.contents() for one in have if one.presentation is presentation) <= 50
    tools = (*BOOK.instruments, *([random.choice(CUPS)] if small else []))
    return text, plan(order, containers=have, instruments=tools, policy=POLICY, started=now), now


def done(found: Plan, started: datetime) -> Preparation:
    """The plan carried out by the book."""
    assert found.fill is not None
    readings = tuple(take.draw.volume for take in found.takes if take.draw is not None)
    glass = any(take.in_hand.presentation.container is Container.GLASS_AMPOULE for take in found.takes)
    needle = (Needle.FILTER_ON, Needle.DRAWN, Needle.FILTER_OFF) if glass else (Needle.DRAWN, Needle.NEEDLE_OFF)
    return Preparation(
        plan=found,
        started=started,
        now=later(started, 20),
        prepared_by="ana",
        read_by="ben",
        given_by="cleo",
        readings=readings,
        second=readings,
        needle=(*needle, Needle.EMPTIED),
        label=tuple(replace(line, text=line.text.replace(TO_WRITE, "written")) for line in found.label),
        identifiers=2,
        given_at=later(started, 20),
        charted_at=later(started, 35),
        given=found.fill.total,
        wasted=Fraction(0),
        left=Fraction(0),
    )


def correct(count: int, seed: int) -> Iterator[Correct]:
    """So many correct preparations, spread over every presentation that can be ordered."""
    random = Random(seed)
    kinds = [one for one in BOOK.presentations if not one.diluent]
    made = tried = 0
    while made < count and tried < count * 20:
        presentation = kinds[tried % len(kinds)]
        tried += 1
        got = planned(presentation, random)
        if got is None or got[1].status is not Status.READY:
            continue
        text, found, started = got
        yield Correct(presentation, text, found, done(found, started))
        made += 1


# ---------------------------------------------------------------------------------------------- planted faults

Plant = Callable[[Correct], tuple[Finding, ...] | None]


def _again(one: Correct, **said: object) -> tuple[Finding, ...]:
    """The same order with the same container, whose condition is another."""
    take = one.plan.takes[0]
    old = take.in_hand.condition
    assert old is not None
    worse = replace(take.in_hand, condition=replace(old, **said))  # type: ignore[arg-type]
    have = [worse]
    if one.plan.fill is not None and one.plan.fill.in_hand is not None:
        have.append(one.plan.fill.in_hand)
    tools = (*BOOK.instruments, *([one.plan.cup] if one.plan.cup is not None else []))
    order = read_order(one.text, catalogue=BOOK)
    return plan(order, containers=have, instruments=tools, policy=POLICY, started=one.made.started).findings


def _expired(one: Correct) -> tuple[Finding, ...]:
    return _again(one, expiry=one.made.started.date() - timedelta(days=1))


def _another_person(one: Correct) -> tuple[Finding, ...]:
    return _again(one, owner="204181")


def _cloudy(one: Correct) -> tuple[Finding, ...]:
    return _again(one, seen=(Sight.CLOUDY,))


def _touched(one: Correct) -> tuple[Finding, ...]:
    return _again(one, touched=True)


def _reused(one: Correct) -> tuple[Finding, ...] | None:
    if one.plan.takes[0].in_hand.presentation.multi_dose:
        return None
    return _again(one, opened=one.made.started - timedelta(hours=2))


def _undated(one: Correct) -> tuple[Finding, ...] | None:
    if not one.plan.takes[0].in_hand.presentation.multi_dose:
        return None
    return _again(one, opened=None, undated=True)


def _old_bottle(one: Correct) -> tuple[Finding, ...] | None:
    if not one.plan.takes[0].in_hand.presentation.multi_dose:
        return None
    return _again(one, opened=one.made.started - timedelta(days=40))


def _changed(**values: object) -> Plant:
    return lambda one: preparation_findings(replace(one.made, **values))  # type: ignore[arg-type]


def _tenfold(one: Correct) -> tuple[Finding, ...] | None:
    if not one.made.readings:
        return None
    wrong = tuple(value * 10 for value in one.made.readings)
    return preparation_findings(replace(one.made, readings=wrong, second=wrong))


def _next_line(one: Correct) -> tuple[Finding, ...] | None:
    drawn = [take.draw for take in one.plan.takes if take.draw is not None]
    if not drawn:
        return None
    wrong = (one.made.readings[0] + drawn[0].instrument.step, *one.made.readings[1:])
    return preparation_findings(replace(one.made, readings=wrong, second=wrong))


def _readers_differ(one: Correct) -> tuple[Finding, ...] | None:
    if not one.made.readings:
        return None
    return preparation_findings(replace(one.made, second=tuple(value * 2 for value in one.made.readings)))


def _late(one: Correct) -> tuple[Finding, ...]:
    assert one.plan.limit is not None
    assert one.plan.limit.until is not None
    late = later(one.plan.limit.until, 1)
    return preparation_findings(replace(one.made, given_at=late, charted_at=late))


def _filter_stays(one: Correct) -> tuple[Finding, ...] | None:
    if Needle.FILTER_ON not in one.made.needle:
        return None
    return preparation_findings(replace(one.made, needle=(Needle.FILTER_ON, Needle.DRAWN, Needle.EMPTIED)))


def _spilled(one: Correct) -> tuple[Finding, ...]:
    assert one.made.given is not None
    return preparation_findings(replace(one.made, given=one.made.given / 2))


def _early(one: Correct) -> tuple[Finding, ...]:
    return preparation_findings(replace(one.made, charted_at=one.made.started))


PLANTED: dict[str, tuple[str, Plant]] = {
    "an expired container": ("past-printed-expiry", _expired),
    "another person's container": ("another-persons", _another_person),
    "cloudy liquid": ("visibly-faulty", _cloudy),
    "a touched tip": ("touched-or-returned", _touched),
    "a single dose used again": ("single-dose-opened-before", _reused),
    "an undated bottle": ("opened-undated", _undated),
    "a bottle past its life": ("past-in-use-life", _old_bottle),
    "ten times the volume": ("reading-beside-plan", _tenfold),
    "one line beside": ("reading-beside-plan", _next_line),
    "two readings that differ": ("readings-differ", _readers_differ),
    "read by its own preparer": ("second-reader-is-first", _changed(read_by="ana")),
    "no label": ("label-missing", _changed(label=())),
    "one identifier": ("identifiers-not-matched", _changed(identifiers=1)),
    "past its limit": ("limit-time-passed", _late),
    "filter needle left on": ("filter-needle-order", _filter_stays),
    "half of it gone": ("waste-does-not-add-up", _spilled),
    "charted before": ("charted-before-giving", _early),
}
"""What is planted, the rule that must find it, and how."""


def grave(found: tuple[Finding, ...], level: Level) -> list[str]:
    """The rules that spoke at this level."""
    return [one.rule for one in found if one.level is level]
