"""The diluent against the label: concentrate undiluted, a product that is never diluted, the wrong liquid."""

from collections.abc import Iterator

from drawndose.bench.draws import ml
from drawndose.bench.findings import Finding, Level
from drawndose.bench.order import FillRule
from drawndose.bench.safeguards.seen import Seen
from drawndose.bench.takes import Take
from drawndose.quantities import show
from drawndose.reference import DilutionRule


def check(seen: Seen) -> Iterator[Finding]:
    """Is each product diluted as its label says, and with a liquid that it bears?"""
    for take in seen.takes:
        yield from _undiluted(take, seen)
        yield from _diluted(take, seen)
        yield from _liquid(take, seen)
        yield from _salted(take, seen)
    if seen.fill.by == "label" and seen.fill.rule is FillRule.TO_TOTAL and seen.fill.need:
        yield _by_label(seen)


def _undiluted(take: Take, seen: Seen) -> Iterator[Finding]:
    """A concentrate with nothing in it, or with less than its label asks: another product's liquid counts as it is."""
    rule, fill = take.in_hand.presentation.dilution, seen.fill
    if rule is None or rule.undiluted or fill.questions or fill.trouble or take.first_dilution is not None:
        return
    least = rule.volume.to("mL").value if rule.volume is not None and rule.rule is DilutionRule.TO_TOTAL else None
    if fill.total == take.volume:
        yield Finding(
            rule="concentrate-undiluted",
            level=Level.STOP,
            says=f"{ml(take.volume)} of {take.in_hand.name} would go in undiluted; its label says: {rule.says}.",
            do="Ask the prescriber for a fill.",
            origin=rule.origin,
        )
    elif least is not None and fill.total < least:
        yield Finding(
            rule="less-diluted-than-label",
            level=Level.CAUTION if fill.added else Level.STOP,
            says=f"The cup holds {ml(fill.total)} with {ml(take.volume)} of {take.in_hand.name}; its label makes it up to "
            f"{ml(least)}.",
            do="Ask the prescriber for a fill." if not fill.added else "Ask whether the fill may be the label's.",
            origin=rule.origin,
        )


def _diluted(take: Take, seen: Seen) -> Iterator[Finding]:
    """What is never diluted is not diluted by another product's liquid either."""
    rule = take.in_hand.presentation.dilution
    other = seen.fill.drug - take.volume
    if rule is None or not take.never_diluted or not (seen.fill.need or other):
        return
    told = f"The order adds {ml(seen.fill.need)} to" if seen.fill.need else f"{ml(other)} of another product dilutes"
    yield Finding(
        rule="diluted-against-label",
        level=Level.STOP,
        says=f"{told} {take.in_hand.name}; its label says: {rule.says}.",
        do="Ask the prescriber; give it as its label says, by itself.",
        origin=rule.origin,
    )


def _salted(take: Take, seen: Seen) -> Iterator[Finding]:
    """A product that sodium chloride precipitates, with a sodium chloride solution ordered as a drug."""
    made_up = take.in_hand.presentation.reconstitution
    if made_up is None or not any("chloride" in one for one in made_up.never_with):
        return
    for other in seen.takes:
        if other.in_hand.presentation.drug == "sodium-chloride":
            yield Finding(
                rule="liquid-never",
                level=Level.STOP,
                says=f"{ml(other.volume)} of {other.in_hand.name} with {ml(take.volume)} of {take.in_hand.name}: the label "
                f"allows only {', '.join(made_up.diluents)}.",
                do="Give them apart, in two cups.",
                origin=made_up.origin,
            )


def _liquid(take: Take, seen: Seen) -> Iterator[Finding]:
    made_up, rule = take.in_hand.presentation.reconstitution, take.in_hand.presentation.dilution
    liquid = seen.fill.diluent or seen.order.diluent
    if not liquid:
        return
    salty = liquid == "saline" or "chloride" in liquid
    if made_up is not None and any(liquid == one or (salty and "chloride" in one) for one in made_up.never_with):
        yield Finding(
            rule="liquid-never",
            level=Level.STOP,
            says=f"{liquid} with {take.in_hand.name}: the label allows only {', '.join(made_up.diluents)}.",
            do=f"Use {', '.join(made_up.diluents)}.",
            origin=made_up.origin,
        )
    elif seen.fill.need and rule is not None and rule.diluents and liquid not in rule.diluents:
        yield Finding(
            rule="liquid-not-on-label",
            level=Level.CAUTION,
            says=f"{liquid} is ordered; for {take.in_hand.name} the label names {', '.join(rule.diluents)}.",
            do="Ask the prescriber or the pharmacy.",
            origin=rule.origin,
        )


def _by_label(seen: Seen) -> Finding:
    rule = next(
        rule
        for take in seen.takes
        if (rule := take.in_hand.presentation.dilution) is not None and rule.rule is DilutionRule.TO_TOTAL
    )
    volume = show(rule.volume) if rule.volume is not None else ""
    return Finding(
        rule="fill-by-label",
        level=Level.NOTE,
        says=f"The order names no fill; the label makes it up to {volume}, and so does this plan.",
        do="Read the label of the container in hand.",
        origin=rule.origin,
    )
