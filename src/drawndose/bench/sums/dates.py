"""Days and moments: until when an opened container may be used, what a printed month means, when a prepared dose lapses.

The day of opening is day 0, so 15 March + 28 days is 12 April; a printed month and year means the last day of that month;
the earlier of the two limits holds. A calendar month later is the same day of that month, or its last day.
"""

import re
from datetime import date, datetime, timedelta
from datetime import time as clock

from drawndose.bench.moments import days_in, months_later
from drawndose.bench.sums.inputs import INPUTS
from drawndose.bench.sums.shape import Result, Sum, Worked, WrongWay
from drawndose.quantities import Fault, Refused, read_number

_NAMES = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip
_MONTHS = {name[:length]: number for number, name in enumerate(_NAMES, start=1) for length in range(3, len(name) + 1)}
"""Every month by its name and by each beginning of it from three letters on: MAR, Sept, November; no other word."""
_DAY_FORMS = "2026-03-15, or 15 Mar 2026"
_EXPIRY_FORMS = "03/2023, 2023-03, MAR 2023, 2023-03-31, 31 MAR 2023"
_PERIOD = re.compile(r"(?P<n>[0-9]+)\s*-?\s*(?P<unit>[a-z]+)", re.IGNORECASE)
_UNITS = {
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), "h"),
    **dict.fromkeys(("min", "mins", "minute", "minutes"), "min"),
    **dict.fromkeys(("d", "day", "days"), "day"),
    **dict.fromkeys(("wk", "wks", "week", "weeks"), "week"),
    **dict.fromkeys(("mo", "month", "months"), "month"),
    **dict.fromkeys(("y", "yr", "year", "years"), "year"),
}


def _refuse(field: str, rule: str, came: str, accepted: str) -> Refused:
    return Refused([Fault(field=field, rule=rule, came=came, accepted=accepted)])


def read_moment(text: str, field: str) -> date:
    """A day, or a moment to the minute ("2026-11-25 22:15"). Refused when there is no such day."""
    plain = " ".join(text.replace("T", " ").split())
    found = re.fullmatch(r"(?P<day>.*?)(?:,? (?P<h>[0-9]{1,2}):(?P<m>[0-9]{2})(?::[0-9]{2})?)?", plain)
    assert found is not None
    day, _ = _read_day(found["day"], field, months=False)
    if found["h"] is None:
        return day
    hour, minute = int(found["h"]), int(found["m"])
    if hour > 23 or minute > 59:
        raise _refuse(field, "there is no such time", text, "22:15")
    return datetime.combine(day, clock(hour, minute))


def read_expiry(text: str, field: str = "printed_expiry") -> tuple[date, bool]:
    """The last day of use of a printed expiry, and whether it was printed as a month. A word glued to "exp" is no part of it."""
    plain = re.sub(
        r"^\s*(?:exp(?:iry|ires|iration)?\.?(?: date)?|use by)(?![a-z])\s*:?\s*", "", text, flags=re.IGNORECASE
    )
    return _read_day(" ".join(plain.split()), field, months=True)


def _read_day(plain: str, field: str, months: bool) -> tuple[date, bool]:
    pieces = [piece for piece in re.split(r"[\s,./-]+", plain) if piece]
    pieces = [part for piece in pieces for part in re.findall(r"[0-9]+|[A-Za-z]+", piece)]
    named = [place for place, piece in enumerate(pieces) if piece.lower() in _MONTHS]
    accepted = _EXPIRY_FORMS if months else _DAY_FORMS
    digits = [piece for piece in pieces if piece.isdigit()]
    if len(pieces) - len(named) != len(digits) or len(named) > 1 or not 2 <= len(pieces) <= 3:
        raise _refuse(field, "a date is needed", plain, accepted)
    if any(len(piece) not in {1, 2, 4} for piece in digits):
        raise _refuse(field, "a year is four figures", plain, accepted)
    year, month, day = _named(pieces, named[0]) if named else _in_figures(pieces, plain, field)
    if day is None and not months:
        raise _refuse(field, "the day is missing", plain, accepted)
    if not 1 <= month <= 12 or not 1 <= year <= 9999 or (day is not None and not 1 <= day <= days_in(year, month)):
        raise _refuse(field, "there is no such day", plain, accepted)
    return date(year, month, day or days_in(year, month)), day is None


def _year(text: str) -> int:
    """A year in full; two figures are a year of this century."""
    return int(text) if len(text) == 4 else 2000 + int(text)


def _named(pieces: list[str], place: int) -> tuple[int, int, int | None]:
    month = _MONTHS[pieces[place].lower()]
    rest = [piece for spot, piece in enumerate(pieces) if spot != place]
    if len(rest) == 1:
        return _year(rest[0]), month, None
    if len(rest[0]) == 4:
        return int(rest[0]), month, int(rest[1])
    return _year(rest[1]), month, int(rest[0])


def _in_figures(pieces: list[str], plain: str, field: str) -> tuple[int, int, int | None]:
    if len(pieces[0]) == 4:
        return int(pieces[0]), int(pieces[1]), int(pieces[2]) if len(pieces) == 3 else None
    if len(pieces) == 2:
        return _year(pieces[1]), int(pieces[0]), None
    if len(pieces[2]) != 4:
        raise _refuse(field, "a year is four figures", plain, _DAY_FORMS)
    first, second = int(pieces[0]), int(pieces[1])
    if first <= 12 and second <= 12 and first != second:
        raise _refuse(field, "it could be the day or the month that comes first", plain, _DAY_FORMS)
    month, day = (second, first) if first > 12 else (first, second)
    return int(pieces[2]), month, day


def add_period(start: date, text: str, field: str = "period") -> date:
    """The moment a period later. Hours after a day without a time are refused unless they are whole days."""
    found = _PERIOD.fullmatch(" ".join(text.split()))
    spelled = _UNITS.get(found["unit"].lower()) if found else None
    if found is None or spelled is None:
        raise _refuse(field, "a period is a whole number with its unit", text, "28 days, 4 h, 6 weeks, 1 month")
    count = int(read_number(found["n"], field=field))
    if count == 0:
        raise _refuse(field, "a period is more than nothing", text, "28 days")
    try:
        if spelled in {"month", "year"}:
            return months_later(start, count * (12 if spelled == "year" else 1))
        if spelled in {"h", "min"} and not isinstance(start, datetime):
            hours = timedelta(hours=count) if spelled == "h" else timedelta(minutes=count)
            if hours % timedelta(days=1):
                raise _refuse(field, "hours count from a time, and only a day came", text, "2026-03-15 08:00")
            return start + hours
        step = {"h": "hours", "min": "minutes", "day": "days", "week": "weeks"}[spelled]
        return start + timedelta(**{step: count})
    except OverflowError as error:
        raise _refuse(field, "the calendar ends before that", text, "a shorter period") from error


def told(moment: date) -> str:
    """2026-03-15, or 2026-03-15 22:15."""
    return f"{moment:%Y-%m-%d %H:%M}" if isinstance(moment, datetime) else f"{moment:%Y-%m-%d}"


def _gathered(this: Sum, given: dict[str, str], needed: tuple[str, ...]) -> None:
    missing = [name for name in needed if name not in given]
    if missing:
        raise Refused(
            Fault(field=name, rule=f"it is needed to find {this.asks}", came="nothing", accepted=INPUTS[name].accepts)
            for name in missing
        )


def _discard(this: Sum, given: dict[str, str], of: str, asked: str) -> Worked:
    """opened + period, cut short by the printed expiry."""
    del of, asked
    _gathered(this, given, ("opened", "period"))
    opened = read_moment(given["opened"], "opened")
    limit = add_period(opened, given["period"])
    lines = [f"opened {told(opened)} is day 0; + {given['period']} = {told(limit)}"]
    wrong = []
    if not isinstance(limit, datetime):
        wrong.append(WrongWay("opening day counted as day 1", "one day earlier", limit - timedelta(days=1)))
    answer = limit
    if "printed_expiry" in given:
        expiry, whole_month = read_expiry(given["printed_expiry"])
        if _day(opened) > expiry:
            rule = f"it was opened on {told(opened)}, after its last day {told(expiry)}"
            raise _refuse("printed_expiry", rule, given["printed_expiry"], "a container that is in date")
        month = ", the last day of that month" if whole_month else ""
        lines.append(f"printed {given['printed_expiry']}: last day {told(expiry)}{month}")
        if expiry < _day(limit):
            answer = expiry
            wrong = [WrongWay("printed expiry left out", "the period alone", limit)]
        lines.append(f"the earlier of the two: {told(answer)}")
    return Worked(this.kind, (Result("discard_date", "discard date", answer),), tuple(lines), tuple(wrong))


def _day(moment: date) -> date:
    return moment.date() if isinstance(moment, datetime) else moment


def _expiry(this: Sum, given: dict[str, str], of: str, asked: str) -> Worked:
    """What a printed expiry means."""
    del of, asked
    _gathered(this, given, ("printed_expiry",))
    last, whole_month = read_expiry(given["printed_expiry"])
    says = "a month and a year mean the last day of that month" if whole_month else "a day is the last day of use"
    wrong = (
        (WrongWay("first day of the month", "the month taken to begin it", last.replace(day=1)),) if whole_month else ()
    )
    result = Result("last_day", "last day of use", last)
    return Worked(this.kind, (result,), (f"{given['printed_expiry']}: {says}, {told(last)}",), wrong)


def _limit(this: Sum, given: dict[str, str], of: str, asked: str) -> Worked:
    """start of preparing + period."""
    del of, asked
    _gathered(this, given, ("start", "period"))
    start = read_moment(given["start"], "start")
    limit = add_period(start, given["period"])
    wrong: tuple[WrongWay, ...] = ()
    if isinstance(limit, datetime) and limit.date() != _day(start):
        same_day = datetime.combine(start, limit.time())
        wrong = (WrongWay("midnight forgotten", "the same day", same_day),) if same_day != start else ()
    line = f"{told(start)} + {given['period']} = {told(limit)}"
    return Worked(this.kind, (Result("limit_time", "limit time", limit),), (line,), wrong)


_OPENED = tuple(INPUTS[name] for name in ("opened", "period", "printed_expiry"))
KINDS = (
    Sum("beyond_use_date", "Discard date of an opened container", "the discard date", _OPENED, _discard),
    Sum("discard_date", "Discard date, cut short by the expiry", "the discard date", _OPENED, _discard),
    Sum("expiry_date", "Last day of a printed expiry", "the last day of use", (INPUTS["printed_expiry"],), _expiry),
    Sum("limit_time", "Limit time of a prepared dose", "the limit time", (INPUTS["start"], INPUTS["period"]), _limit),
)
