"""What is found on an order alone: its doses against what is published, how often, and how soon."""

from datetime import datetime
from zoneinfo import ZoneInfo

from drawndose import Policy
from drawndose.bench.compared import Compared, compare
from drawndose.bench.dosing import resolve
from drawndose.bench.findings import Finding
from drawndose.bench.order import Order
from drawndose.bench.safeguards import each_ordered, order_findings
from drawndose.reference import Catalogue
from tests.bench.benches import BOOK, order

NOW = datetime(2026, 11, 25, 14, 5, tzinfo=ZoneInfo("America/Chicago"))


def on(
    asked: str | Order, started: datetime | None = NOW, book: Catalogue = BOOK, **settings: object
) -> tuple[Finding, ...]:
    """Every finding on an order."""
    one = order(asked) if isinstance(asked, str) else asked
    policy = Policy(**settings)  # type: ignore[arg-type]
    doses = tuple(resolve(line, one) for line in one.lines)
    return order_findings(each_ordered(one, doses, book, policy, started))


def rules_on(asked: str | Order, started: datetime | None = NOW) -> set[str]:
    return {finding.rule for finding in on(asked, started)}


def the(asked: str | Order, rule: str, started: datetime | None = NOW, **more: object) -> Finding:
    """The one finding of this rule."""
    hits = [finding for finding in on(asked, started, **more) if finding.rule == rule]  # type: ignore[arg-type]
    assert len(hits) == 1, (rule, on(asked, started))
    return hits[0]


def beside(asked: str | Order) -> Compared:
    """The first line's dose beside what is published."""
    one = order(asked) if isinstance(asked, str) else asked
    compared = compare(resolve(one.lines[0], one), one, BOOK, Policy())
    assert compared is not None
    return compared
