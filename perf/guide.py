"""A small coverage guide for fuzzing, on the standard library: which steps between two lines has no input taken before?

A ready-made guided fuzzer exists as a package, but has no build for some of the machines on which this project runs.
"""

import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from types import FrameType


@dataclass
class Guide:
    """Steps that some input took in files whose path holds one of `within`, each as file, line before and line after."""

    within: tuple[str, ...]
    seen: set[tuple[str, int, int]] = field(default_factory=set)
    fresh: bool = False

    def _start(self, frame: FrameType, event: str, _: object) -> Callable[..., object] | None:
        name = frame.f_code.co_filename
        if not any(piece in name for piece in self.within):
            return None
        before = 0

        def step(frame: FrameType, event: str, _: object) -> Callable[..., object]:
            nonlocal before
            if event == "line":
                taken = (name, before, frame.f_lineno)
                before = frame.f_lineno
                if taken not in self.seen:
                    self.seen.add(taken)
                    self.fresh = True
            return step

        return step

    def watch(self, call: Callable[[], None]) -> bool:
        """True when the call took a step that none took before."""
        self.fresh = False
        sys.settrace(self._start)
        try:
            call()
        finally:
            sys.settrace(None)
        return self.fresh
