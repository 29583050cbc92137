"""What a safeguard of a container may look at: one physical container, its condition, the moment, and the settings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

from drawndose.bench.condition import Condition
from drawndose.bench.container_life import LifeLimit, limits
from drawndose.bench.in_hand import InHand
from drawndose.bench.policy import Policy
from drawndose.reference import Presentation


@dataclass(frozen=True, kw_only=True)
class AtHand:
    """One container at a moment (with its zone)."""

    in_hand: InHand
    condition: Condition
    now: datetime
    policy: Policy

    @property
    def presentation(self) -> Presentation:
        """What it is."""
        return self.in_hand.presentation

    @property
    def name(self) -> str:
        """What it is called, with its lot where one was said."""
        return f"{self.in_hand.name}, lot {self.condition.lot}" if self.condition.lot else self.in_hand.name

    @cached_property
    def limits(self) -> tuple[LifeLimit, ...]:
        """Every limit on its use, the earliest first."""
        return limits(self.in_hand, self.condition, self.policy, self.now)


def the_container(at_hand: AtHand) -> Iterator[AtHand]:
    """The container as a whole."""
    yield at_hand
