"""The supply list: everything for the day with spares, then what goes to which table."""

from __future__ import annotations

from drawndose.lab.papers.document import Document
from drawndose.lab.papers.laid import Laid
from drawndose.lab.papers.parts import Column, Part, heading, notice, table, text
from drawndose.lab.papers.station_sheet import MARK, WATER, items
from drawndose.lab.tasks.supplies import whole_list


def supply_list(day: Laid) -> Document:
    """The list of the whole day. Counted from the tasks, one spare in ten and never fewer than two."""
    every = whole_list(day.tasks)
    numbers = [one.number for one in day.stations]
    by_station = {
        one.number: {(item.what, item.simulated): item.count for item in one.supplies} for one in day.stations
    }
    rows = [
        [item.what, *(f"{by_station[at].get((item.what, item.simulated), '')}" for at in numbers), f"{item.count}"]
        for item in every
    ]
    columns = (
        Column("What", 1),
        *(Column(f"Station {at}", 0, right=True) for at in numbers),
        Column("All", 0, right=True),
    )
    parts: list[Part] = [
        heading("Everything, to be laid ready"),
        notice(WATER),
        text("Counted from the tasks of this seed, with one spare in ten and never fewer than two; a multi-dose container by what is drawn from it."),
        items(every),
        heading("What goes to which table"),
        table(columns, rows),
    ]  # fmt: skip
    return Document(title="Supply list", head=day.head, printed=day.printed, mark=MARK, parts=parts)
