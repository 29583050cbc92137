"""What the label says of this use: off-label by nebulizer, its own device only, more than one product in a cup."""

from collections.abc import Iterator

from drawndose.bench.draws import ml
from drawndose.bench.findings import Finding, Level
from drawndose.bench.safeguards.seen import Seen
from drawndose.bench.takes import Take
from drawndose.reference import ByNebulizer


def check(seen: Seen) -> Iterator[Finding]:
    """Is the use on the label, and does the label speak of mixing?"""
    for take in seen.takes:
        presentation = take.in_hand.presentation
        if presentation.by_nebulizer is ByNebulizer.OFF_LABEL:
            yield Finding(
                rule="off-label",
                level=Level.CAUTION,
                says=f"{presentation.name} is not labelled for a nebulizer ({presentation.label.says}).",
                do="Go on only where policy and the prescriber provide for it.",
                origin=presentation.label.origin,
            )
        if presentation.by_nebulizer is ByNebulizer.OWN_DEVICE:
            yield Finding(
                rule="own-device",
                level=Level.CAUTION,
                says=f"{presentation.name} is labelled with its own device only ({presentation.label.says}).",
                do="Use the device that its label names.",
                origin=presentation.label.origin,
            )
            yield from _part(take)
    if len(seen.takes) > 1:
        yield from _mixed(seen)


def _part(take: Take) -> Iterator[Finding]:
    """Its own device takes whole containers, and an order for it may count what the device delivers, not what it holds."""
    whole = take.in_hand.contents()
    if (take.volume / whole).denominator != 1:
        yield Finding(
            rule="own-device-part",
            level=Level.STOP,
            says=f"{ml(take.volume)} is not a whole container of {ml(whole)} of {take.in_hand.name}; its own device takes whole "
            "ones, and its dose may count what the device delivers.",
            do="Ask the prescriber what the dose counts; fill the device as its label says.",
            origin=take.in_hand.presentation.label.origin,
        )


def _mixed(seen: Seen) -> Iterator[Finding]:
    """Of each product every note that speaks against mixing; where there is none, its first note."""
    for take in seen.takes:
        notes = take.in_hand.presentation.notes_on("mixing")
        shown = tuple(note for note in notes if _speaks_against(note.says)) or notes[:1]
        says = " ".join(note.says for note in shown) or "nothing on mixing was read."
        yield Finding(
            rule="mixed-in-one-cup",
            level=Level.CAUTION,
            says=f"{len(seen.takes)} products share one cup. Of {take.in_hand.name}: {says}",
            do="Mix only what your pharmacy or a current source holds compatible; use it at once.",
            origin=shown[0].origin if shown else take.in_hand.presentation.label.origin,
        )


def _speaks_against(says: str) -> bool:
    return any(word in says.lower() for word in ("not mix", "incompatible", "not be mixed", "separately"))
