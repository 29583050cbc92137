"""Every check of the engine, with its question, level and sources, and how often it was shown and set aside, out of the ledger."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache

from drawndose.bench.findings import Level
from drawndose.bench.safeguards import OF_A_BENCH, OF_A_CONTAINER, OF_A_PREPARATION, OF_A_TEXT, OF_A_WAY, OF_AN_ORDER
from drawndose.bench.safeguards.rule import Rule
from drawndose.department.ledger.models import Event
from drawndose.department.work import cautions
from drawndose.department.work.models import Silence
from drawndose.reference import load
from drawndose.reference.rule_text import Part

PERIOD = timedelta(days=28)
"""So far back is counted."""
MOST = 20_000
"""Events that are counted; that there are more is said."""
OFTEN, HALF = 50, 2
"""A check that was shown so often, and set aside more than half the time, is to be looked at by its owner. A house setting."""
FAMILIES = (
    ("What is ordered", (*OF_AN_ORDER, *OF_A_BENCH)),
    ("What is typed or printed", OF_A_TEXT),
    ("One container", OF_A_CONTAINER),
    ("How it is prepared", OF_A_WAY),
    ("What was made and given", OF_A_PREPARATION),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One check. sources: titles of the texts behind it. shown, aside: in the period. silenced: silences in force now."""

    rule: Rule
    part: str
    sources: tuple[str, ...]
    shown: int
    aside: int
    silenced: int

    @property
    def doubtful(self) -> bool:
        """True when it is set aside more often than heeded: then it is the check that is to be looked at."""
        return self.shown >= OFTEN and self.aside * HALF > self.shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """What the ledger has of the checks since a moment. cut: there was more than is counted."""

    since: datetime
    shown: Counter[str]
    aside: Counter[str]
    cut: bool


@lru_cache(maxsize=1)
def rules() -> dict[str, tuple[Rule, str]]:
    """Every rule by its id, with the part that it judges."""
    return {rule.id: (rule, part) for part, families in FAMILIES for family in families for rule in family.RULES}


@lru_cache(maxsize=1)
def _sources() -> dict[str, tuple[str, ...]]:
    """The texts behind each check: those of the published rules that it keeps."""
    book = load()
    found: dict[str, dict[str, None]] = {}
    for text in book.rules.values():
        for keeper in text.kept_by:
            if keeper.part is Part.RULE:
                found.setdefault(keeper.name, {}).update(dict.fromkeys(book.sources[one].title for one in text.sources))
    return {name: tuple(titles) for name, titles in found.items()}


def counted(moment: datetime) -> Counted:
    """How often each check stood on a plan that was kept, once for a sheet, and how often it was answered with a reason."""
    since = moment - PERIOD
    first = Event.objects.filter(at__gte=since).order_by("at").values_list("number", flat=True).first()
    if first is None:
        return Counted(since=since, shown=Counter(), aside=Counter(), cut=False)
    mine = Event.objects.filter(number__gte=first)
    planned = mine.filter(name="preparation.planned").order_by("-number").values_list("subject", "content__found")
    kept = list(planned[: MOST + 1])
    once = {(subject, rule) for subject, found in kept[:MOST] for rule in found or ()}
    answered = mine.filter(name=cautions.NAME).order_by("-number").values_list("content__rule", flat=True)
    said = list(answered[: MOST + 1])
    return Counted(
        since=since,
        shown=Counter(rule for _, rule in once),
        aside=Counter(said[:MOST]),
        cut=len(kept) > MOST or len(said) > MOST,
    )


def checks(moment: datetime) -> tuple[list[Check], Counted]:
    """Every check with its counts, part by part."""
    counts = counted(moment)
    silenced = Counter(Silence.objects.filter(ended_at=None, until__gt=moment).values_list("rule", flat=True))
    return list(_checks(counts, silenced)), counts


def _checks(counts: Counted, silenced: Counter[str]) -> Iterator[Check]:
    for ident, (rule, part) in rules().items():
        yield Check(
            rule=rule,
            part=part,
            sources=_sources().get(ident, ()),
            shown=counts.shown[ident],
            aside=counts.aside[ident],
            silenced=silenced[ident],
        )


def may_be_silenced(rule: str) -> bool:
    """True for a check that is a caution at its gravest: a stop is never silenced, and a note never needs a press."""
    known = rules().get(rule)
    return known is not None and known[0].level is Level.CAUTION
