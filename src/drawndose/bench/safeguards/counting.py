"""What the numbers count: a salt turned into base, a limit of the order that acted, printed numbers that disagree."""

from collections.abc import Iterator

from drawndose.bench.findings import HOUSE, Finding, Level
from drawndose.bench.safeguards.seen import Seen
from drawndose.quantities import show, show_about
from drawndose.reference import DilutionRule, How, Origin


def check(seen: Seen) -> Iterator[Finding]:
    """Do order and label count the same thing, and does the label agree with itself?"""
    for resolved, counted in zip(seen.doses, seen.counted, strict=True):
        if resolved.limit:
            says = f"{resolved.limit[:1].upper()}{resolved.limit[1:]}."
            yield Finding(rule="order-limit", level=Level.NOTE, says=says, do="Check the weight.", origin=HOUSE)
        if counted.by is not None and resolved.amount is not None and counted.amount is not None:
            yield Finding(
                rule="moiety-converted",
                level=Level.NOTE,
                says=f"The order counts {resolved.amount.of[0][0]}, the label {counted.amount.of[0][0]}: "
                f"{show(resolved.amount)} is {show_about(counted.amount)}, by the published {show(counted.by.this)} for "
                f"{show(counted.by.equals)}.",
                do="Read on the label which one its strength counts.",
                origin=counted.by.origin,
            )
    for take in seen.takes:
        for active in take.in_hand.presentation.actives:
            if active.disagreement:
                says = f"{active.disagreement[:1].upper()}{active.disagreement[1:].rstrip('.')}."
                do = "Use the amount in the container."
                yield Finding(rule="label-disagrees", level=Level.NOTE, says=says, do=do, origin=active.origin)
        for note in take.in_hand.presentation.notes_on("look-alike")[:1]:
            do = "Read the strength aloud."
            yield Finding(rule="look-alike", level=Level.NOTE, says=note.says, do=do, origin=note.origin)
    yield from _unconfirmed(seen)


def _unconfirmed(seen: Seen) -> Iterator[Finding]:
    """Values from memory that this plan rests on: the person is sent to the label."""
    for take in seen.takes:
        presentation = take.in_hand.presentation
        used: list[tuple[str, Origin]] = [("fill size", take.in_hand.pack.origin)]
        rule = presentation.dilution
        asks = rule is not None and rule.rule in {DilutionRule.TO_TOTAL, DilutionRule.ADD}
        if rule is not None and asks and seen.fill.by == "label" and seen.fill.need:
            used.append(("dilution", rule.origin))
        if presentation.reconstitution is not None:
            used.append(("making up", presentation.reconstitution.origin))
        weak = [(what, origin) for what, origin in used if origin.how is How.MEMORY]
        if weak:
            yield Finding(
                rule="from-memory",
                level=Level.NOTE,
                says=f"{' and '.join(what for what, _ in weak).capitalize()} of {presentation.name}: from memory, not "
                "confirmed against a text.",
                do="Read the label of the container in hand.",
                origin=weak[0][1],
            )
