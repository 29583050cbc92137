"""The states of everything that has them, as data: from a state, by an event, to a state. Nothing else changes a state.

The diagrams in docs/reference/states.md are made out of these dictionaries.
"""

from collections.abc import Mapping

Table = dict[str, dict[str, str]]

ORDER: Table = {
    "": {"order.entered": "entered"},
    "entered": {"order.completed": "complete", "order.changed": "changed", "order.ended": "ended"},
    "complete": {
        "order.asked": "complete",
        "order.held": "on hold",
        "order.changed": "changed",
        "order.ended": "ended",
    },
    "on hold": {"order.resumed": "complete", "order.changed": "changed", "order.ended": "ended"},
    "changed": {},
    "ended": {},
}
"""An order is never altered: a change ends it as changed, and the new one says which one it replaces. Asked: a dose of an
as-needed order."""

DOSE: Table = {
    "": {"dose.planned": "due"},
    "due": {"dose.begun": "being prepared", "dose.not_given": "not given", "dose.dropped": "dropped"},
    "being prepared": {"dose.prepared": "prepared", "dose.released": "due", "dose.not_given": "not given"},
    "prepared": {"dose.given": "given", "dose.not_given": "not given", "dose.released": "due"},
    "given": {"dose.taken_back": "prepared"},
    "not given": {"dose.taken_back": "prepared"},
    "dropped": {},
}
"""A due dose. Released: what was made for it is thrown away, and it is due again. Dropped: its order ended first, or
stood on hold when its time was over.
Taken back: see the preparation."""

CONTAINER: Table = {
    "": {"container.received": "received"},
    "received": {
        "container.opened": "opened",
        "container.moved": "received",
        "container.doubted": "doubtful",
        "container.discarded": "discarded",
    },
    "opened": {
        "container.drawn": "opened",
        "container.emptied": "emptied",
        "container.moved": "opened",
        "container.owned": "opened",
        "container.corrected": "opened",
        "container.doubted": "doubtful",
        "container.discarded": "discarded",
    },
    "doubtful": {"container.discarded": "discarded"},
    "emptied": {"container.corrected": "opened", "container.discarded": "discarded"},
    "discarded": {},
}
"""A doubtful container is only thrown away: no one may undo a doubt."""

PREPARATION: Table = {
    "": {"preparation.begun": "begun"},
    "begun": {"preparation.planned": "planned", "preparation.broken_off": "broken off"},
    "planned": {
        "preparation.planned": "planned",
        "preparation.drawn": "drawn",
        "preparation.broken_off": "broken off",
    },
    "drawn": {
        "preparation.read": "drawn",
        "preparation.labelled": "labelled",
        "preparation.broken_off": "broken off",
    },
    "labelled": {
        "preparation.read": "labelled",
        "preparation.labelled": "labelled",
        "preparation.given": "given",
        "preparation.not_given": "not given",
        "preparation.broken_off": "broken off",
    },
    "given": {"preparation.taken_back": "labelled", "preparation.closed": "closed"},
    "not given": {"preparation.taken_back": "labelled", "preparation.closed": "closed"},
    "broken off": {"preparation.closed": "closed"},
    "closed": {"preparation.noted": "closed"},
}
"""A preparation. What the preparer gives at once still gets its label's content; printing it is another matter.

Taken back: "given" or "not given" was pressed by mistake; only for some seconds, by the one who pressed it.
"""

TABLES: dict[str, Table] = {"order": ORDER, "dose": DOSE, "container": CONTAINER, "preparation": PREPARATION}


def after(kind: str, state: str, event: str, tables: Mapping[str, Table] = TABLES) -> str | None:
    """The state after an event, or None where the event cannot happen in this state. tables: of other records than the work's."""
    return tables[kind][state].get(event)


def before(kind: str, event: str) -> tuple[str, ...]:
    """Every state in which the event can happen."""
    return tuple(state for state, events in TABLES[kind].items() if event in events)
