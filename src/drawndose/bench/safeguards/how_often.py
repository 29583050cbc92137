"""How often, and how soon after the last one: the order's interval and its day against what is published for this dose."""

from __future__ import annotations

from datetime import UTC, datetime
from fractions import Fraction
from typing import NamedTuple

from drawndose.bench.compared import Compared
from drawndose.bench.findings import HOUSE, Level, Waiver
from drawndose.bench.held import Held, firm
from drawndose.bench.order import Frequency
from drawndose.bench.policy import HOURLY
from drawndose.bench.published import DAY
from drawndose.bench.safeguards.doses import ASK, Ordered, each_line, whom
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.quantities import Quantity, show, show_about
from drawndose.quantities.showing import about_number
from drawndose.reference import How, Origin

TEXTS = ("the dose", "how often it is ordered", "how often it is published")


LATER = Origin(
    source="hospital-page-asthma-panel-2007-doses", at="emergency doses, after the first 3 doses", how=How.SECONDARY
)
FACILITY = Origin(source="facility-policy", at="single doses in a day", how=How.PRACTICE)


class Pace(NamedTuple):
    """How often it is ordered. gap: from dose to dose, in s. number: in the first 24 h; ended: the order says how many."""

    gap: Fraction
    number: Fraction
    ended: bool

    @property
    def says(self) -> str:
        """every 4 h, 6 a day; every 20 min, 3 in all."""
        if self.ended:
            return f"every {show_about(_time(self.gap))}, {about_number(self.number)} in all"
        return f"every {show_about(_time(self.gap))}, {about_number(self.number)} a day"


def pace(often: Frequency | None) -> Pace | None:
    """The pace as ordered, a day shared out evenly; None where the order gives none."""
    gap = gap_of(often)
    if often is None or gap is None:
        return None
    a_day = DAY.over(gap)
    ended = often.count is not None and often.count <= a_day
    return Pace(gap.base, Fraction(often.count) if ended and often.count is not None else a_day, ended)


def gap_of(often: Frequency | None) -> Quantity | None:
    """The time from dose to dose: as ordered, or a day shared out evenly."""
    if often is None or often.interval is not None:
        return None if often is None else often.interval
    return None if often.in_a_day is None else Quantity.of_text(Fraction(24, often.in_a_day), "h")


def _time(seconds: Fraction) -> Quantity:
    unit, size = ("h", 3600) if seconds >= 3600 else ("min", 60)
    return Quantity.of_text(seconds / size, unit)


def _speaking(compared: Compared) -> tuple[Held, ...]:
    """The texts that give this dose or more; else all of this patient, else all there are. Of a dose that runs, none."""
    if compared.runs or compared.stops:
        return ()
    given = (compared.texts, tuple(one for one in compared.others if one.text.gives))
    enough = tuple(one for one in compared.texts if not one.over)
    return enough or next((texts for texts in given if texts), ())


def _says_how_often(one: Held) -> bool:
    return any(each is not None for each in (one.text.apart, one.text.times_a_day, one.text.course))


@rule(
    "more-than-hourly",
    Level.STOP,
    "Does it go on more often than once an hour?",
    needs=("how often it is ordered",),
    waiver=Waiver.PRESCRIBER,
    over=each_line,
)
def more_than_hourly(one: Ordered) -> Said | None:
    """The first doses of an emergency follow each other closely, and are counted; what goes on so is ordered per hour."""
    asked, most = pace(one.order.frequency), one.policy.most_in_a_day
    if asked is None or asked.number <= most:
        return None
    says = f"{one.compared.line.drug.name} is ordered {asked.says}. "
    do = "Ask the prescriber: say how many doses, as in every 20 min for 3 doses, or order it per hour."
    if asked.number > HOURLY:
        return Said(f"{says}No published dose is given more than {HOURLY} times in a day.", do, LATER)
    return Said(f"{says}Your facility's most is {most} in a day.", do, FACILITY)


@rule(
    "interval-too-short",
    Level.STOP,
    "Is it ordered more often than any text for this dose?",
    needs=TEXTS,
    waiver=Waiver.PRESCRIBER,
    over=each_line,
)
def interval_too_short(one: Ordered) -> Said | None:
    """Silent as long as one text that gives this dose or more allows it, and where a graver rule already speaks.

    A text that ends after a number of doses allows no more than these. A text that says nothing of how often has no say beside
    one that does; but then, and where few sources bound it, it is cautioned.
    """
    compared, asked = one.compared, pace(one.order.frequency)
    texts = _speaking(compared)
    saying = [held for held in texts if _says_how_often(held)]
    if asked is None or not saying or any(_allows(held, asked) for held in saying):
        return None
    if more_than_hourly.look(one) is not None or day_total.look(one) is not None:
        return None
    held = min(saying, key=lambda held: _shortest(held, asked))
    says = (
        f"{show_about(compared.dose)} of {compared.line.drug.name} is ordered {asked.says}; published for this dose"
        f"{whom(compared.patient)}: {_published(held, asked)} ({held.text.dose.purpose})."
    )
    if (
        len(saying) == len(texts)
        and all(_far(held, asked, one.policy.far_more_often) for held in saying)
        and firm(each for each in compared.others if _says_how_often(each))
    ):
        return Said(says, ASK, held.text.dose.origin)
    do = "Ask the prescriber whether so often is meant."
    return Said(says, do, held.text.dose.origin, Level.CAUTION, Waiver.PREPARER)


def _published(held: Held, asked: Pace) -> str:
    """What of the text the order goes beyond."""
    text = held.text
    if text.apart is not None and asked.gap < text.apart.base:
        return f"{show(text.apart)} apart at least"
    if text.times_a_day is not None and asked.number > text.times_a_day:
        return f"{about_number(text.times_a_day)} a day at most"
    if text.course is not None:
        return f"{about_number(text.course)} in all"
    assert text.times_a_day is not None
    return f"{about_number(text.times_a_day)} in a whole day"


def _allows(held: Held, asked: Pace) -> bool:
    text, least = held.text, _least_gap(held)
    return (
        (least is None or asked.gap >= least)
        and (text.times_a_day is None or asked.number <= text.times_a_day)
        and (text.course is None or (asked.ended and asked.number <= text.course))
    )


def _least_gap(held: Held) -> Fraction | None:
    """The shortest time from dose to dose, s: as printed, else half of an even share of the day, for doses while awake."""
    if held.text.apart is not None:
        return held.text.apart.base
    return None if held.text.times_a_day is None else DAY.base / held.text.times_a_day / 2


def _far(held: Held, asked: Pace, far: int) -> bool:
    apart, times = held.text.apart, held.text.times_a_day
    return (apart is not None and asked.gap * far < apart.base) or (times is not None and asked.number > times * far)


def _shortest(held: Held, asked: Pace) -> tuple[bool, Fraction]:
    """The text that goes farthest towards the order: one without a course first, then the shortest time from dose to dose."""
    least, times = held.text.apart, held.text.times_a_day
    ends = [Fraction(0)] if least is None else [least.base]
    within = held.text.course is not None and not asked.ended
    return within, max(ends if times is None else [*ends, DAY.base / times])


@rule(
    "how-often-not-published",
    Level.NOTE,
    "Is anything published on how often?",
    needs=TEXTS,
    waiver=Waiver.UNASKED,
    over=each_line,
)
def not_published(one: Ordered) -> Said | None:
    """Nothing to hold the interval against, and that is said."""
    texts, asked = _speaking(one.compared), pace(one.order.frequency)
    if asked is None or not texts or any(_says_how_often(held) for held in texts):
        return None
    says = (
        f"How often {one.compared.line.drug.name} may be given is not in the catalogue: {asked.says} is not compared."
    )
    return Said(says, "Read the label; have it confirmed where policy asks.", texts[0].text.dose.origin)


@rule(
    "day-total-above-published",
    Level.STOP,
    "Is a day's total within the most that is published for a day?",
    needs=TEXTS,
    waiver=Waiver.PRESCRIBER,
    over=each_line,
)
def day_total(one: Ordered) -> Said | None:
    """The dose times its number in 24 h against the most in a day. Cautioned where one source alone says it."""
    compared, asked = one.compared, pace(one.order.frequency)
    texts = _speaking(compared)
    limiting = (*texts, *(day for cell in compared.cells for day in cell.days))
    limits = [(held, limit) for held in limiting if (limit := _in_a_day(held)) is not None]
    here = limiting if compared.cells else compared.others
    saying = tuple(held for held in here if held.text.in_a_day is not None)
    if asked is None or not texts or not saying or len(limits) < len(limiting):
        return None
    held, most = max(limits, key=lambda pair: pair[1])
    total = compared.dose * asked.number
    if total.base <= most:
        return None
    says = (
        f"{show_about(compared.dose)} of {compared.line.drug.name} {asked.says}, is {show_about(total)} in a day; published"
        f"{whom(compared.patient)}: {show_about(total * (most / total.base))} in a day at most."
    )
    if firm(held for held in compared.others if held.text.in_a_day is not None):
        return Said(says, ASK, held.text.dose.origin)
    do = "Ask the prescriber: one source alone bounds this figure."
    return Said(says, do, held.text.dose.origin, Level.CAUTION, Waiver.PREPARER)


def _in_a_day(held: Held) -> Fraction | None:
    """The most in a day that a text gives, or that follows from its dose and its number; None where it gives no end."""
    text = held.text
    if text.in_a_day is not None:
        return text.in_a_day.base
    numbers = [text.times_a_day, text.course, None if text.apart is None else DAY.over(text.apart)]
    known = [number for number in numbers if number is not None]
    return None if held.high is None or not known else held.high * min(known)


@rule(
    "last-dose-too-near",
    Level.CAUTION,
    "Is it long enough since the last dose?",
    needs=("when the last dose was given", "when preparing begins", "how often it is ordered or published"),
    waiver=Waiver.PREPARER,
    over=each_line,
)
def last_dose_too_near(one: Ordered) -> Said | None:
    """The time since the last dose against the order's own interval and the shortest published one. Noted when it is not known."""
    last, name = one.order.last_dose, one.compared.line.drug.name
    if last is None:
        return None
    told = last.strftime("%d %b %Y %H:%M")
    if one.started is None:
        says = f"The last dose was given {told}; when preparing begins was not said, so the time between is not known."
        return Said(says, "Say when preparing begins.", HOUSE, Level.NOTE)
    passed = _passed(last, one.started)
    if passed is None:
        says = f"The last dose is written as given {told}, after preparing began ({one.started.strftime('%d %b %Y %H:%M')})."
        return Said(says, "Find out when the last dose was given.", HOUSE)
    ordered = one.order.frequency.interval if one.order.frequency is not None else None
    if ordered is not None and passed < ordered:
        says = f"The last dose of {name} was given {_clock(passed)} before preparing began; the order says every {show(ordered)}."
        return Said(says, "Wait, or ask the prescriber.", HOUSE)
    return _since(one, passed)


def _since(one: Ordered, passed: Quantity) -> Said | None:
    """Against the texts: only where each that this dose may belong to names a shortest time."""
    speaking = tuple(held for held in _speaking(one.compared) if held.may)
    texts = [(held, least) for held in speaking if (least := held.text.apart)]
    if not texts or len(texts) < len(speaking):
        return None
    held, least = min(texts, key=lambda pair: pair[1])
    if passed >= least:
        return None
    says = (
        f"The last dose of {one.compared.line.drug.name} was given {_clock(passed)} before preparing began; published: "
        f"{show(least)} apart at least ({held.text.dose.purpose})."
    )
    return Said(says, "Wait, or ask the prescriber.", held.text.dose.origin)


def _passed(last: datetime, started: datetime) -> Quantity | None:
    """The time between, or None when the last dose lies later. The last dose is told by the clock of the place: where that
    clock showed the time twice, the later one counts."""
    between = started.astimezone(UTC) - last.replace(tzinfo=started.tzinfo, fold=1).astimezone(UTC)
    minutes = Fraction(between.days * 86400 + between.seconds, 60)
    return Quantity.of_text(minutes, "min") if minutes >= 0 else None


def _clock(passed: Quantity) -> str:
    """2 h 10 min; full minutes, cut down."""
    hours, minutes = divmod(int(passed.to("min").value), 60)
    return f"{hours} h {minutes} min" if hours and minutes else f"{hours} h" if hours else f"{minutes} min"


RULES = (more_than_hourly, interval_too_short, not_published, day_total, last_dose_too_near)
