"""The sizes of label and the paper that this department has, as the policy says now."""

from __future__ import annotations

from typing import cast

from drawndose.department.printing import Paper, Size
from drawndose.department.work.label_stock import PAPERS
from drawndose.department.work.policy import house


def sizes_here() -> tuple[Size, ...]:
    """Sizes of label, in the order in which they are tried."""
    return cast("tuple[Size, ...]", house("label_sizes"))


def paper_here() -> Paper:
    """Paper of the office printer."""
    return PAPERS[str(house("sheet_paper"))]
