"""What lies on the table for one task, in words: for the card without a hint, for who lays it out with every date."""

from __future__ import annotations

from collections.abc import Iterator

from drawndose.bench.in_hand import InHand
from drawndose.lab.tasks.task import Task
from drawndose.quantities import show
from drawndose.reference import Container


def on_table(task: Task) -> tuple[str, ...]:
    """What the learner finds there."""
    stand = task.stand
    diluent = (container_words(stand.diluent),) if stand.diluent is not None else ()
    return (container_words(stand.drug), *diluent, *(one.name for one in stand.measures), stand.cup.name)


def container_words(in_hand: InHand) -> str:
    """Name and fill, and the dropper that belongs to a bottle."""
    volume = in_hand.pack.volume
    fill = f", {show(volume)}" if volume is not None else ""
    dropper = ", with its dropper" if in_hand.presentation.container is Container.DROPPER_BOTTLE else ""
    return f"{in_hand.name}{fill}{dropper}"


def state_words(in_hand: InHand) -> str:
    """How the container is to be laid out: what is written on it, and what an eye finds; "" where nothing special."""
    return "; ".join(_states(in_hand))


def _states(in_hand: InHand) -> Iterator[str]:
    found = in_hand.condition
    if found is None:
        return
    if found.expiry is not None:
        yield f"expiry {found.expiry:%d %b %Y}"
    if found.opened is not None:
        yield f"opened {found.opened:%d %b %Y}"
    if found.undated:
        yield "opened, no date written"
    if found.discard_after is not None:
        yield f"discard after {found.discard_after:%d %b %Y}"
    if found.owner:
        yield f"label: for {found.owner}"
    yield from (f"to be seen: {one.value}" for one in found.seen)
