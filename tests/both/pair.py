"""One pair: what must be seen, and what only just must not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Both:
    """rule: the id of a safeguard, or of a rule of safe practice. fires, near: whether it speaks there."""

    rule: str
    fires: Callable[[], bool]
    near: Callable[[], bool]

    @property
    def holds(self) -> tuple[bool, bool]:
        """Whether it speaks where it must, and is silent where it must be."""
        return self.fires(), not self.near()
