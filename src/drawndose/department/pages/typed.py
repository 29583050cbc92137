"""Days and times as people type them. A day whose month is a number could be read in two ways, and is refused."""

from __future__ import annotations

import re
from datetime import date, datetime

from drawndose.department.ledger.append import now
from drawndose.department.web import clock
from drawndose.department.work.models import Site
from drawndose.department.work.places import local
from drawndose.quantities import Fault, Refused

MONTHS = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip
_ISO = re.compile(r"(?P<year>\d{4})-?(?P<month>\d{2})-?(?P<day>\d{2})", re.ASCII)
_WORDS = re.compile(r"(?P<day>\d{1,2})[ .-]*(?P<word>[A-Za-z]{3,9})[ .,-]*(?P<year>\d{4})", re.ASCII)
ACCEPTED = "05 Nov 1961, 1961-11-05 or 19611105"


def read_day(text: str, field: str) -> date:
    """A day: 05 Nov 1961, 5 November 1961, 1961-11-05, 19611105. Refused for any other form, 11/05/1961 among them."""
    bare = " ".join(text.split())
    found = _ISO.fullmatch(bare) or _WORDS.fullmatch(bare)
    try:
        if found is None:
            raise ValueError
        parts = found.groupdict()
        month = int(parts["month"]) if "month" in parts else _month(parts["word"].lower())
        return date(int(parts["year"]), month, int(parts["day"]))
    except ValueError:
        rule = "a day is typed so that it can be read in one way only" if bare else "a day is needed"
        raise Refused([Fault(field=field, rule=rule, came=text, accepted=ACCEPTED)]) from None


def _month(word: str) -> int:
    """The number of a month whose name begins with these three letters or more. ValueError for none."""
    for at, name in enumerate(MONTHS, start=1):
        if name.startswith(word):
            return at
    raise ValueError(word)


def read_clock(text: str, site: Site, field: str) -> datetime:
    """A time of today at this site (14:05, 1405), or a day with its time. Refused for one that the clock does not show once."""
    return clock.read_clock(text, local(site, now()), field)
