"""What can be set up and is unwise: cautions and notes, each with both numbers, what to do, and where it is from.

Nothing here stops a preparation, and nothing changes a dose.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from drawndose.bench.findings import HOUSE, Finding, Level, Waiver
from drawndose.reference import Nebulizer, NebulizerKind, Span, load
from drawndose.reference.aerosol import Who
from drawndose.science.aerosol.bands import Band
from drawndose.science.aerosol.setup import Gas, SetUp, Through

FIGURES: Final = {
    "residual": ("{} stays in the cup", "keeps {}", "mL"),
    "output": ("the output is {}", "puts out {}", "mL/min"),
    "evaporated": ("{} of what leaves is only water", "has {}", ""),
    "mmad_um": ("the droplets are {}", "makes {}", "micrometres"),
}
"""Figures that are held against what is known of the kind."""

SMALL_VOLUME: Final = frozenset({NebulizerKind.JET, NebulizerKind.BREATH_ENHANCED, NebulizerKind.BREATH_ACTUATED})


def cautions(setup: SetUp) -> tuple[Finding, ...]:
    """Everything that is to be said of a set-up, the graver first."""
    found = [
        *_of_fill(setup),
        *_of_figures(setup),
        *_of_flow(setup),
        *_of_gas(setup),
        *_of_patient(setup),
        *_of_end(setup),
    ]
    return tuple(sorted(found, key=lambda one: one.level is not Level.CAUTION))


def _of_fill(setup: SetUp) -> Iterator[Finding]:
    needs, stays = setup.nebulizer.works_from, setup.bands["residual"]
    if needs is not None and setup.fill.low < float(needs.low):
        yield low_fill(setup.nebulizer, needs, setup.fill.low)
    if setup.fill.low <= stays.high:
        says = f"The fill is {setup.fill.told('mL')}, and {stays.told('mL')} stays in the cup: nothing may come out."
        yield _caution("aerosol-fill-may-stay", says, "Ask whether it may be made up to more; the dose stays the same.")


def low_fill(nebulizer: Nebulizer, needs: Span, fill_mL: float) -> Finding:
    """A fill below what works. Of a small jet a study says why; of a reservoir it is common practice."""
    says = f"The fill is {Band.at(fill_mL).told('mL')}; a {nebulizer.name} works from {Band.of_span(needs).told('mL')}."
    do = load().aerosol.advice["low-fill"].do
    return Finding(
        rule="aerosol-low-fill", level=Level.CAUTION, says=says, do=do, origin=needs.origin, waiver=Waiver.PREPARER
    )


def _of_figures(setup: SetUp) -> Iterator[Finding]:
    """A figure outside everything known of the kind may be another kind's, or in another unit."""
    kind = next(one for one in load().nebulizers if one.kind is setup.kind)
    for name, (is_so, of_kind, unit) in FIGURES.items():
        known, used = getattr(kind, name), setup.band(name)
        if known is None or used is None or (setup.tapped and name == "residual"):
            continue
        usual = Band.of_span(known)
        if used.low > usual.high or used.high < usual.low:
            said = is_so.format(_told(used, unit))
            says = f"{said[:1].upper()}{said[1:]}; a {kind.name} {of_kind.format(_told(usual, unit))}."
            do = "Look whether it is the figure of another kind, or in another unit."
            yield Finding(
                rule=f"aerosol-other-kind-{name}", level=Level.CAUTION, says=says, do=do, origin=known.origin,
                waiver=Waiver.PREPARER,
            )  # fmt: skip


def _told(band: Band, unit: str) -> str:
    return band.told(unit) if unit else f"{Band(100 * band.low, 100 * band.high).told('%')}"


def _of_flow(setup: SetUp) -> Iterator[Finding]:
    made_for = setup.nebulizer.flow
    if setup.flow is None or made_for is None:
        return
    usual = Band.of_span(made_for)
    if setup.flow.high < usual.low or setup.flow.low > usual.high:
        says = f"The flow is {setup.flow.told('L/min')}; its figures are for {usual.told('L/min')}."
        yield _advised("aerosol-flow", Level.CAUTION, "flow-and-size", says)


def _of_gas(setup: SetUp) -> Iterator[Finding]:
    if setup.gas is Gas.OXYGEN and setup.breath.who is Who.ADULT:
        yield _advised("aerosol-driven-by-oxygen", Level.CAUTION, "driven-by-air")
    if setup.gas is Gas.COMPRESSOR:
        yield _advised("aerosol-compressor", Level.CAUTION, "weak-compressor")
    if setup.gas is Gas.HELIOX:
        yield _advised("aerosol-heliox", Level.CAUTION, "heliox-output")


def _of_patient(setup: SetUp) -> Iterator[Finding]:
    if setup.through is Through.MASK or setup.breath.who is not Who.ADULT:
        yield _advised("aerosol-most", Level.NOTE, "mask-and-children")
    if setup.breath.who in {Who.INFANT, Who.NEONATE} and setup.kind.by_gas:
        yield _advised("aerosol-infants", Level.NOTE, "small-infants")


def _of_end(setup: SetUp) -> Iterator[Finding]:
    if setup.kind in SMALL_VOLUME:
        yield _advised("aerosol-sputter", Level.NOTE, "stop-at-sputter")
    if setup.kind is NebulizerKind.LARGE_VOLUME:
        yield _advised("aerosol-first-hour", Level.NOTE, "first-hour")


def _advised(rule: str, level: Level, ident: str, says: str = "") -> Finding:
    """A finding out of what a text says."""
    one = load().aerosol.advice[ident]
    waiver = Waiver.PREPARER if level is Level.CAUTION else Waiver.UNASKED
    return Finding(rule=rule, level=level, says=says or one.says, do=one.do, origin=one.origin, waiver=waiver)


def _caution(rule: str, says: str, do: str) -> Finding:
    return Finding(rule=rule, level=Level.CAUTION, says=says, do=do, origin=HOUSE, waiver=Waiver.PREPARER)
