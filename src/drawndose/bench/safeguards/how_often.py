"""How often, and how soon after the last one: the order's interval and its day against what is published for this dose."""

from __future__ import annotations

from datetime import UTC, datetime
from fractions import Fraction

from drawndose.bench.compared import Compared, Held, firm
from drawndose.bench.findings import HOUSE, Level, Waiver
from drawndose.bench.order import Frequency
from drawndose.bench.published import DAY
from drawndose.bench.safeguards.doses import ASK, Ordered, each_line, whom
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.quantities import Quantity, show, show_about
from drawndose.quantities.showing import about_number

TEXTS = ("the dose", "how often it is ordered", "how often it is published")


def _speaking(compared: Compared) -> tuple[Held, ...]:
    """The texts whose dose this may be; of a dose that runs, none."""
    return () if compared.runs else tuple(one for one in compared.texts if one.may)


def gap_of(often: Frequency | None) -> Quantity | None:
    """The time from dose to dose: as ordered, or a day shared out evenly."""
    if often is None or often.interval is not None:
        return None if often is None else often.interval
    return None if often.in_a_day is None else Quantity.of_text(Fraction(24, often.in_a_day), "h")


@rule(
    "interval-too-short",
    Level.CAUTION,
    "Is it ordered more often than any text for this dose?",
    needs=TEXTS,
    waiver=Waiver.PREPARER,
    over=each_line,
)
def interval_too_short(one: Ordered) -> Said | None:
    """Silent as long as one text that this dose may belong to allows it, and where the day's total already speaks."""
    compared, gap = one.compared, gap_of(one.order.frequency)
    texts = _speaking(compared)
    if gap is None or not texts or any(_allows(held, gap) for held in texts) or day_total.look(one) is not None:
        return None
    held = min(texts, key=_shortest)
    least, times = held.text.apart, held.text.times_a_day
    published = f"{show(least)} apart at least" if least is not None and gap < least else ""
    if not published:
        assert times is not None
        published = f"{about_number(times)} a day at most"
    says = (
        f"{show_about(compared.dose)} of {compared.line.drug.name} is ordered {_ordered(gap)}; published for this dose"
        f"{whom(compared.patient)}: {published} ({held.text.dose.purpose})."
    )
    return Said(says, "Ask the prescriber whether so often is meant.", held.text.dose.origin)


def _ordered(gap: Quantity) -> str:
    return f"every {show_about(gap)}, {about_number(DAY.over(gap))} a day"


def _allows(held: Held, gap: Quantity) -> bool:
    least, times = held.text.apart, held.text.times_a_day
    return (least is None or gap >= least) and (times is None or DAY.over(gap) <= times)


def _shortest(held: Held) -> Fraction:
    """The shortest time from dose to dose that a text lets through, in s."""
    least, times = held.text.apart, held.text.times_a_day
    ends = [Fraction(0)] if least is None else [least.base]
    return max(ends if times is None else [*ends, DAY.base / times])


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
    compared, gap = one.compared, gap_of(one.order.frequency)
    texts = _speaking(compared)
    limiting = (*texts, *(day for cell in compared.cells for day in cell.days))
    limits = [(held, limit) for held in limiting if (limit := _in_a_day(held)) is not None]
    saying = tuple(held for held, _ in limits if held.text.in_a_day is not None)
    if gap is None or not texts or not saying or len(limits) < len(limiting):
        return None
    held, most = max(limits, key=lambda pair: pair[1])
    total = compared.dose * DAY.over(gap)
    if total.base <= most:
        return None
    says = (
        f"{show_about(compared.dose)} of {compared.line.drug.name} {_ordered(gap)}, is {show_about(total)} in a day; published"
        f"{whom(compared.patient)}: {show_about(total * (most / total.base))} in a day at most."
    )
    if firm(saying):
        return Said(says, ASK, held.text.dose.origin)
    do = "Ask the prescriber: one source alone bounds this figure."
    return Said(says, do, held.text.dose.origin, Level.CAUTION, Waiver.PREPARER)


def _in_a_day(held: Held) -> Fraction | None:
    """The most in a day that a text gives or that follows from its dose and its number; None where it gives no end."""
    if held.text.in_a_day is not None:
        return held.text.in_a_day.base
    times = held.text.times_a_day
    return None if times is None or held.high is None else held.high * times


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
    texts = [(held, least) for held in _speaking(one.compared) if (least := held.text.apart)]
    if not texts or len(texts) < len(_speaking(one.compared)):
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


RULES = (interval_too_short, day_total, last_dose_too_near)
