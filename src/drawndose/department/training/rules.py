"""The programme's rule by which attempts are decided: versions, one of which is in use."""

from __future__ import annotations

from dataclasses import replace

from django.db import transaction

from drawndose.department.ledger.append import now
from drawndose.department.people.models import Person
from drawndose.department.training.change import begun, change, told
from drawndose.department.training.models import RuleVersion
from drawndose.department.work.change import Moved
from drawndose.lab.deciding.rule import Rule, read_rule, rule_data

HOUSE = "house"


def rule_of(row: RuleVersion) -> Rule:
    """The rule that a row keeps."""
    return read_rule(row.content)


def current() -> RuleVersion | None:
    """The rule in use; None before the first."""
    return RuleVersion.objects.filter(rule_id=HOUSE, state="in use").first()


def write(rule: Rule, *, reason: str, by: Person, seen: RuleVersion | None, key: str | None = None) -> RuleVersion:
    """Another version of the rule, in the place of the one that the person saw. Refused without a reason.

    Attempts that were decided keep the version that they were decided by. A rule that says the same gives the row back.
    """
    why = told(reason, "reason", "who decided it, and why")
    with transaction.atomic():
        was = current()
        if (was.pk if was else None) != (seen.pk if seen else None):
            raise Moved(was)
        old = rule_of(was) if was is not None else None
        edition = old.edition + 1 if old is not None else 1
        made = replace(rule, id=HOUSE, edition=edition, replaces=old.version if old is not None else "")
        if old is not None and replace(made, edition=old.edition, replaces=old.replaces) == old and was is not None:
            return was
        if was is not None:
            change(was, "rule", "rule.replaced", by=by, version=was.version, content={"by": made.version})
        row = RuleVersion(
            rule_id=HOUSE,
            title=made.title,
            edition=made.edition,
            digest=made.version,
            content=rule_data(made),
            reason=why,
            by=by,
            at=now(),
        )
        content = {"edition": made.edition, "digest": made.version, "reason": why}
        return begun(row, "rule", "rule.written", by=by, key=key, content=content)
