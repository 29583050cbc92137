"""The aerosol page: what becomes of a fill, as bands, of one set-up or of two side by side. No dose is made or changed here."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from drawndose.bench.drawing import Figure
from drawndose.department.web import shown
from drawndose.department.web.aerosol_form import BOX_OF, LABELS, FormPart, Typed, box_of, form_part, read_form
from drawndose.department.web.own import own_nebulizers
from drawndose.quantities import Fault, Refused
from drawndose.reference import Catalogue, How, Nebulizer, Origin, load
from drawndose.science.aerosol.bands import Band
from drawndose.science.aerosol.boxes import read_boxes
from drawndose.science.aerosol.cautions import SMALL_VOLUME
from drawndose.science.aerosol.outcome import INPUTS, Outcome, outcome
from drawndose.science.aerosol.pictures import beside_picture, pictures
from drawndose.science.aerosol.setup import UNITS, SetUp
from drawndose.science.aerosol.variants import Variant, by_fill, by_stopping, by_tapping

TRIALS = 20_000
SHARES = frozenset({"evaporated", "duty"})
"""Inputs that are told as percent."""
KEPT = 64
STOPS = (2.0, 5.0)
"""Minutes after which a run may be stopped, set beside its whole length."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One set-up with its answer. outcome is None where something was refused: then faults say what."""

    place: int
    title: str
    typed: Typed
    outcome: Outcome | None = None
    faults: tuple[Fault, ...] = ()
    found: shown.Findings | None = None
    figures: tuple[Figure, ...] = ()
    owing: tuple[Figure, ...] = ()
    inputs: tuple[tuple[str, str, str], ...] = ()
    ways: tuple[tuple[str, tuple[Variant, ...]], ...] = ()


def aerosol_page(query: Mapping[str, str], book: Catalogue) -> dict[str, object]:
    """Everything that the page names, whole or only its live part."""
    own = own_nebulizers()
    both = [one for one in read_form(query) if one.kind or one.prefix == "a"]
    told = tuple(_told(place, one, len(both), book, own) for place, one in enumerate(both, start=1))
    worked = [one.outcome for one in told if one.outcome is not None]
    return {
        "told": told,
        "beside": beside_picture(worked[0], worked[1], "beside") if len(worked) == 2 else None,
        "parts": _form_parts(query, told, own),
        "refused": tuple(
            (one, fault, f"{one.typed.prefix}-{box_of(fault)}", LABELS.get(box_of(fault), box_of(fault)))
            for one in told
            for fault in one.faults
        ),
        "says": _announced(told),
    }


def _form_parts(
    query: Mapping[str, str], told: tuple[Told, ...], own: tuple[Nebulizer, ...]
) -> tuple[FormPart, FormPart]:
    faults = {one.typed.prefix: one.faults for one in told}
    first, second = read_form(query)
    return (
        form_part(first, "First set-up", faults.get(first.prefix, ()), own),
        form_part(second, "Second set-up, side by side", faults.get(second.prefix, ()), own),
    )


def _told(place: int, typed: Typed, of: int, book: Catalogue, own: tuple[Nebulizer, ...]) -> Told:
    title = f"Set-up {place}" if of > 1 else "What becomes of it"
    said = {name: text for name, text in typed.said().items() if name != "kind"}
    try:
        found = worked_out(typed.kind, tuple(sorted(said.items())), own)
        drawn = pictures(found, f"set-up-{place}")
    except Refused as refused:
        return Told(place=place, title=title, typed=typed, faults=tuple(refused.faults))
    return Told(
        place=place,
        title=title,
        typed=typed,
        outcome=found,
        found=shown.findings(found.findings, book),
        figures=tuple(one for one in drawn if one.kind != "what matters most"),
        owing=tuple(one for one in drawn if one.kind == "what matters most"),
        ways=changed(typed.kind, tuple(sorted(said.items())), own),
        inputs=tuple(_inputs(found.setup, frozenset(said), typed.boxes["breath"] or "adult", book)),
    )


@lru_cache(maxsize=KEPT)
def worked_out(kind: str, said: tuple[tuple[str, str], ...], own: tuple[Nebulizer, ...] = ()) -> Outcome:
    """The outcome of a form; the same form is worked out once. Refused with every fault."""
    return outcome(read_boxes(kind, dict(said), own), trials=TRIALS)


@lru_cache(maxsize=KEPT)
def changed(
    kind: str, said: tuple[tuple[str, str], ...], own: tuple[Nebulizer, ...] = ()
) -> tuple[tuple[str, tuple[Variant, ...]], ...]:
    """One thing changed at a time: the same charge in another fill, tapped, stopped early. A way that is not known is left out."""
    setup = read_boxes(kind, dict(said), own)
    small = setup.kind in SMALL_VOLUME or not setup.kind.by_gas
    ways = (
        ("The same charge in another fill", by_fill(setup) if small else ()),
        ("Tapped to the end", by_tapping(setup)),
        ("Stopped early", by_stopping(setup, STOPS) if small else ()),
    )
    return tuple((title, several) for title, several in ways if several)


def _inputs(setup: SetUp, said: frozenset[str], pattern: str, book: Catalogue) -> Iterator[tuple[str, str, str]]:
    """What went in: the input, its band, and where that is from."""
    for name, band in setup.bands.items():
        box = BOX_OF.get(name, name) if name != "inspiratory_ratio" else ""
        if box in said or (name == "duty" and "ratio" in said):
            source = "typed here: a setting"
        else:
            origin = _origin(setup, name, pattern)
            source = _source(origin, book) if origin is not None else "a setting: none"
        yield INPUTS[name], _band_words(name, band), source


def _band_words(name: str, band: Band) -> str:
    if name in SHARES:
        return Band(100.0 * band.low, 100.0 * band.high).told("%")
    return band.told(UNITS[name])


def _origin(setup: SetUp, name: str, pattern: str) -> Origin | None:
    """Where a band is from that was not typed; None for no dead space, which nobody stated."""
    if name in {"tidal", "rate", "duty"}:
        return getattr(load().aerosol.patterns[pattern], name).origin
    figure = "tapped" if name == "residual" and setup.tapped else name
    span = getattr(setup.nebulizer, figure, None)
    return span.origin if span is not None else None


def _source(origin: Origin, book: Catalogue) -> str:
    """A source in words; a value from memory or of practice is a setting and is called one."""
    if origin.source == "from-memory" or origin.how is How.MEMORY:
        at = f" ({origin.at})" if origin.at.strip("-") else ""
        return f"a setting from memory{at}; not confirmed against any text."
    setting = "a setting: " if origin.how is How.PRACTICE else ""
    return f"{setting}{shown.source_words(origin, book)}"


def _announced(told: tuple[Told, ...]) -> str:
    if count := sum(len(one.faults) for one in told):
        return f"{count} thing{'s' if count > 1 else ''} could not be accepted."
    return "; ".join(
        f"{f'Set-up {one.place}: ' if len(told) > 1 else ''}{one.outcome.minutes}, {one.outcome.share('emitted')} comes out"
        for one in told
        if one.outcome is not None
    ) + "."  # fmt: skip
