"""The label of a container that was opened: until when it may be used, first of all.

Sources: Joint Commission, FAQ on relabelling opened multi-dose vials (the discard date is wanted, the day of opening alone is
not enough); ours prints both. Whose it is, where it belongs to one person alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from drawndose.department.printing.label import FOR_INHALATION, Label, Line
from drawndose.department.printing.printed import Printed, print_label
from drawndose.department.printing.size import SIZES, Size


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenedLabel:
    """What it says, in words. discard: "the end of 22 Dec 2026" or a moment. strength: in words, "0.5 % (5 mg per mL)".

    owner: the one person whose it is, with both identifiers. kept: how it is stored. for_inhalation: no use by injection.
    """

    name: str
    strength: str
    discard: str
    opened: str
    opened_by: str
    lot: str
    code: str
    owner: str = ""
    kept: str = ""
    for_inhalation: bool = True


def opened(content: OpenedLabel) -> Label:
    """The label before it has a size. Refused when a part is missing that must be on it."""
    return Label(
        kind="opened container",
        lines=(
            Line(
                name="discard", text=f"Discard at {content.discard}" if content.discard else "", bold=True, large=True
            ),
            Line(name="name", text=content.name, bold=True),
            Line(name="strength", text=content.strength),
            *([Line(name="route", text=FOR_INHALATION, bold=True)] if content.for_inhalation else []),
        ),
        beside=(
            *([Line(name="owner", text=f"Only for {content.owner}")] if content.owner else []),
            Line(name="opened", text=f"Opened {content.opened}" if content.opened else ""),
            Line(name="opened by", text=f"By {content.opened_by}" if content.opened_by else ""),
            Line(
                name="lot",
                text=f"Lot {content.lot}{f', {content.kept}' if content.kept else ''}" if content.lot else "",
            ),
        ),
        code=content.code,
    )


def opened_label(content: OpenedLabel, sizes: Sequence[Size] = SIZES) -> Printed:
    """The label, printed at the first of these sizes that holds it. Refused when none does, or when a part is missing."""
    return print_label(opened(content), sizes)
