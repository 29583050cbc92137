"""One rule of safe preparation: what it asks, what it must know, how grave it is, who may go on, and a pure check.

A rule looks at one subject (the whole way, one take, one container, one dose) and answers with what is wrong, or None.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from drawndose.bench.findings import Finding, Level, Waiver
from drawndose.reference import Origin

Subject = TypeVar("Subject")


@dataclass(frozen=True, slots=True)
class Said:
    """What a check found: what is wrong with the actual numbers, what to do, and where from. level, waiver: where milder than
    the rule's."""

    says: str
    do: str
    origin: Origin
    level: Level | None = None
    waiver: Waiver | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule(Generic[Subject]):
    """One safeguard.

    level is the gravest that it gives. asks: its question, one sentence. needs: what must be known, or it stays silent.
    waiver: who may go on in spite of it. over: the subjects of a context. look: the check itself.
    """

    id: str
    level: Level
    asks: str
    needs: tuple[str, ...]
    waiver: Waiver
    over: Callable[[Any], Iterable[Subject]]
    look: Callable[[Subject], Said | None]

    def check(self, subject: Subject) -> Finding | None:
        """The finding for one subject, or None when all is well."""
        said = self.look(subject)
        if said is None:
            return None
        level = said.level or self.level
        waiver = (said.waiver or self.waiver) if level is not Level.NOTE else Waiver.UNASKED
        return Finding(rule=self.id, level=level, says=said.says, do=said.do, origin=said.origin, waiver=waiver)

    def findings(self, context: object) -> Iterator[Finding]:
        """The findings for every subject of a context."""
        for subject in self.over(context):
            found = self.check(subject)
            if found is not None:
                yield found


def rule(
    id: str,
    level: Level,
    asks: str,
    *,
    needs: tuple[str, ...],
    waiver: Waiver,
    over: Callable[[Any], Iterable[Subject]],
) -> Callable[[Callable[[Subject], Said | None]], Rule[Subject]]:
    """Make a rule out of its check: `@rule("fill-over-cup", STOP, "Does the cup hold the fill?", ...)`."""

    def made(look: Callable[[Subject], Said | None]) -> Rule[Subject]:
        return Rule(id=id, level=level, asks=asks, needs=needs, waiver=waiver, over=over, look=look)

    return made


def in_order(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Stops first, then cautions, then notes; the same finding once."""
    grave = {Level.STOP: 0, Level.CAUTION: 1, Level.NOTE: 2}
    return tuple(sorted(dict.fromkeys(found), key=lambda one: grave[one.level]))
