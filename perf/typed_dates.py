"""Days, times and lives as people type them, with another opinion on each: for fuzz_codes.py."""

import re
from calendar import month_abbr, month_name
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from drawndose.bench.moments import read_moment, read_span
from drawndose.bench.sums import dates

ZONE = ZoneInfo("America/Chicago")
WORDS = [
    *month_name[1:],
    *month_abbr[1:],
    "Sept",
    "exp",
    "use by",
    ":",
    "24:00",
    "29 Feb",
    "02:30",
    "01:30",
    "-05:00",
    "Z",
    "months",
]
SEEDS = {
    "expiry": ["06/2027", "EXP 2027-06", "Jun 2027", "30 June 2027", "2028-02-29", "exp: 02-2028", "Nov. 27", "6/27"],
    "typed": ["25 Nov 2026, 22:15", "2026-11-25 22:15", "2026-11-25T22:15:00", "29 Feb 2028 00:00"],
    "clock": [
        "2026-11-25 14:05",
        "2026-11-01 01:30",
        "2026-11-01 01:30-06:00",
        "2026-03-08 02:30",
        "2028-02-29T23:59Z",
    ],
    "life": ["28 d", "96 h", "1 month", "6 weeks", "45 min", "at once"],
}


def _figures(text: str) -> list[int]:
    return [int(one) for one in re.findall("[0-9]+", text)]


def _day_is_said(day: date, text: str, whole_month: bool) -> str:
    """The figures and the month's word have to be those of the text: no month out of half a word, no day out of nothing."""
    words = [word.lower() for word in re.findall("[A-Za-z]+", text)]
    known = {name.lower() for name in month_name[1:]} | {
        "exp",
        "expiry",
        "expires",
        "expiration",
        "use",
        "by",
        "date",
        "t",
        "z",
    }
    strange = [
        word for word in words if not any((name.startswith(word) and len(word) >= 3) or name == word for name in known)
    ]
    if strange and strange != ["sept"]:
        return f"{strange[0]} was passed over"
    if any(len(one) not in {1, 2, 4} for one in re.findall("[0-9]+", text)):
        return "a year of three figures, or of five"
    figures = [one % 100 if one > 99 else one for one in _figures(text)]
    wanted = [day.year % 100] + ([] if whole_month else [day.day])
    named = [word for word in words if month_name[day.month].lower().startswith(word[:3])]
    wanted += [] if named else [day.month]
    left = list(figures)
    for one in wanted:
        if one not in left:
            return f"{day} is not said"
        left.remove(one)
    return ""


def wrong_expiry(text: str) -> tuple[str, str]:
    """A printed expiry against its own figures; a month means its last day."""
    day, whole_month = dates.read_expiry(text)
    if whole_month and (day + timedelta(days=1)).day != 1:
        return "accepted", f"{day} is not the last of its month"
    return "accepted", _day_is_said(day, text, whole_month)


def wrong_typed(text: str) -> tuple[str, str]:
    """A day with or without its time against its own figures."""
    found = dates.read_moment(text, "started")
    fault = _day_is_said(found if not isinstance(found, datetime) else found.date(), text, whole_month=False)
    if not fault and isinstance(found, datetime) and not re.search(rf"0?{found.hour}:{found.minute:02}", text):
        fault = f"{found:%H:%M} is not said"
    return "accepted", fault


def wrong_clock(text: str) -> tuple[str, str]:
    """A time of a place: the same figures when it is shown again, one that the clock shows, and only once without an offset."""
    found = read_moment(text, ZONE, "started")
    again = found.astimezone(UTC).astimezone(ZONE)
    plain = " ".join(text.split()).replace("T", " ")
    if len(plain) > len("2026-11-25 14:05"):
        given = datetime.fromisoformat(plain)
        return "accepted", "" if given.astimezone(UTC) == found.astimezone(UTC) else f"{found} is not {given}"
    if f"{again:%Y-%m-%d %H:%M}" != plain and again.year > 999:
        return "accepted", f"the clock never shows {plain}"
    twins = {again.replace(fold=fold).astimezone(UTC) for fold in (0, 1)}
    return "accepted", "" if len(twins) == 1 else f"the clock shows {plain} twice"


def wrong_life(text: str) -> tuple[str, str]:
    """A life against its own figure and the first letter of its unit, and that it has an end after its start."""
    span = read_span(text)
    if span is None:
        return "plain", ""
    start = datetime(2028, 2, 29, 23, 30, tzinfo=ZONE)
    said = _figures(text) == [span.count] and text.split(" ")[1][0] == span.unit[0]
    try:
        ends = span.after(start).astimezone(UTC) > start.astimezone(UTC)
    except OverflowError:
        ends = True
    return "accepted", "" if said and ends else f"{span} is not {text}"


TARGETS = {
    "expiry": (wrong_expiry, 5, 24),
    "typed": (wrong_typed, 4, 24),
    "clock": (wrong_clock, 4, 24),
    "life": (wrong_life, 2, 12),
}
"""The reader with its other opinion, how often of a hundred, and the longest text."""
