"""The answers of `drawndose aerosol` as lines for a terminal and as data."""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from drawndose.bench.drawing import Figure, alone
from drawndose.bench.findings import Finding, Level
from drawndose.bench.plan_data import finding_data
from drawndose.cli.plan_text import finding_lines, origin_words
from drawndose.reference import Nebulizer, load
from drawndose.science.aerosol.bands import Band, Found
from drawndose.science.aerosol.measured import Measured
from drawndose.science.aerosol.outcome import ASKED, INPUTS, Outcome
from drawndose.science.aerosol.pictures import WORTH_SHOWING
from drawndose.science.aerosol.settle import Settled
from drawndose.science.aerosol.setup import SetUp
from drawndose.science.aerosol.variants import Variant, by_fill, by_stopping, by_tapping

GAP = 2


class Told(NamedTuple):
    """One answer: lines, data, and whether anything in it is a caution."""

    lines: tuple[str, ...]
    data: dict[str, object]
    cautioned: bool = False


def kinds(own: Sequence[Nebulizer]) -> Told:
    """Every kind and every own nebulizer with its ranges, each with its source."""
    book, every = load(), (*load().nebulizers, *own)
    lines: list[str] = []
    for one in every:
        lines += ["", f"{one.id}: {one.name}"]
        for name, span in one.spans().items():
            told = Band.of_span(span).told(span.unit)
            lines.append(f"  {name:18} {told:24} {origin_words(span.origin, book)}")
    data: dict[str, object] = {
        "schema": "drawndose.nebulizers/1",
        "nebulizers": [
            {
                "id": one.id,
                "name": one.name,
                "kind": one.kind.value,
                "driven_by": one.driven_by.value,
                "figures": {
                    name: {
                        "from": str(span.low),
                        "to": str(span.high),
                        "unit": span.unit,
                        "source": span.origin.source,
                        "at": span.origin.at,
                        "how": span.origin.how.value,
                    }
                    for name, span in one.spans().items()
                },
            }
            for one in every
        ],
    }
    return Told(tuple(lines[1:]), data)


def outcomes(found: Sequence[Outcome], drawn: Sequence[Figure]) -> Told:
    """One outcome, or two side by side."""
    columns = [dict(one.rows) for one in found]
    names = list(dict.fromkeys(name for cells in columns for name in cells))
    heads = [_head(one.setup) for one in found]
    lines = list(_table(["", *heads], [[name, *(cells.get(name, "") for cells in columns)] for name in names]))
    for place, one in enumerate(found):
        lines += ["", heads[place] if len(found) > 1 else "what kind of answer it is"]
        lines += [f"  {line}" for line in one.says]
        lines += _owes(one)
        lines += finding_lines(one.findings, load())
    data: dict[str, object] = {
        "schema": "drawndose.aerosol/1",
        "outcomes": [_outcome_data(one) for one in found],
        "pictures": [_picture_data(one) for one in drawn],
    }
    return Told(tuple(lines), data, any(_cautioned(one.findings) for one in found))


def _head(setup: SetUp) -> str:
    flow = f", {setup.flow.told('L/min')} of {setup.gas.value}" if setup.flow is not None else ""
    return f"{setup.nebulizer.id}, {setup.fill.told('mL')}{flow}, {setup.breath.name}, {setup.through.value}"


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> Iterator[str]:
    widths = [max(len(row[place]) for row in (head, *rows)) + GAP for place in range(len(head))]
    for row in (head, *rows):
        yield "".join(f"{cell:{width}}" for cell, width in zip(row, widths, strict=True)).rstrip()


def _owes(one: Outcome) -> Iterator[str]:
    for name, owed in one.owes.items():
        shares = [f"{INPUTS[each.name]} {100 * each.share:.0f} %" for each in owed if each.share >= WORTH_SHOWING]
        if shares:
            yield f"  {ASKED[name]} owes its spread to: {', '.join(shares)}"


def _outcome_data(one: Outcome) -> dict[str, object]:
    """Bands as numbers: shares of the charge, minutes, mL."""
    return {
        "nebulizer": one.setup.nebulizer.id,
        "inputs": {name: [band.low, band.high] for name, band in one.setup.bands.items()},
        "bands": {name: _band(band) for name, band in one.bands.items()},
        "upper_bound": one.upper_bound,
        "no_regions": one.setup.no_regions or None,
        "rows": [{"name": name, "text": text} for name, text in one.rows],
        "says": list(one.says),
        "owes": {
            name: [{"input": each.name, "share_of_variance": each.share} for each in owed]
            for name, owed in one.owes.items()
        },
        "findings": [finding_data(each) for each in one.findings],
        "trials": one.trials,
        "seed": one.seed,
    }


def _band(band: Found) -> dict[str, float]:
    return {"low": band.low, "middle": band.middle, "high": band.high, "mean": band.mean}


def _picture_data(one: Figure) -> dict[str, object]:
    rows = [{"name": name, "text": text} for name, text in one.rows]
    return {
        "id": one.ident,
        "kind": one.kind,
        "name": one.name,
        "words": list(one.words),
        "rows": rows,
        "svg": alone(one),
    }


def fills(setup: SetUp, seed: int) -> Told:
    """One thing changed at a time: the fill, tapping, stopping early."""
    groups = {
        "the same charge in another fill": by_fill(setup, seed=seed),
        "tapping": by_tapping(setup, seed=seed),
        "stopping early": by_stopping(setup, (2.0, 5.0), seed=seed),
    }
    lines: list[str] = []
    for title, several in groups.items():
        if several:
            lines += [
                "",
                title,
                *(f"  {line}" for line in _table(("", "comes out", "time", ""), [_row(one) for one in several])),
            ]
    lines += ["", load().aerosol.advice["stop-at-sputter"].says]
    data: dict[str, object] = {
        "schema": "drawndose.aerosol-fills/1",
        "groups": [
            {
                "title": title,
                "ways": [
                    {
                        "way": one.says,
                        "emitted": _band(one.emitted),
                        "minutes": _band(one.minutes),
                        "more": _band(one.more) if one.more is not None else None,
                    }
                    for one in several
                ],
            }
            for title, several in groups.items()
        ],
    }
    return Told(tuple(lines[1:]), data)


def _row(one: Variant) -> tuple[str, str, str, str]:
    return (*one.row, one.gain)


def measured(nebulizer: Nebulizer, found: Measured, table: str) -> Told:
    """What weighings say, and the table for a file of one's own."""
    lines = (f"{nebulizer.name}, weighed", *(f"  {line}" for line in found.says), "", *table.splitlines())
    data: dict[str, object] = {
        "schema": "drawndose.nebulizer-weighed/1",
        "kind": nebulizer.kind.value,
        "runs": found.residual.runs,
        "fill_mL": _pair(found.fill.band),
        "residual_mL": _pair(found.residual.band),
        "output_mL_min": _pair(found.output.band),
        "evaporated": _pair(found.evaporated),
        "water_measured": found.water_measured,
        "droplets_mL": _pair(found.droplets_mL),
        "emitted": _pair(found.emitted),
        "emitted_by_weight": _pair(found.emitted_by_weight),
        "says": list(found.says),
        "toml": table,
    }
    return Told(lines, data)


def _pair(band: Band) -> list[float]:
    return [band.low, band.high]


def settled(found: Settled, picture: Figure) -> Told:
    """Where droplets settle: the model's ranges beside the short fits."""
    lines = (*_table(("", "the model, breathed in", "short fit, in still air"), found.rows), *found.says)
    data: dict[str, object] = {
        "schema": "drawndose.aerosol-settled/1",
        "told": found.told,
        "rows": [{"name": name, "model": model, "fit": fit or None} for name, model, fit in found.rows],
        "bands": {name: _pair(band) for name, band in found.bands.items()},
        "says": list(found.says),
        "pictures": [_picture_data(picture)],
    }
    return Told(lines, data)


def rows(what: str, table: Iterable[tuple[str, str]], says: Iterable[str], findings: Sequence[Finding]) -> Told:
    """An answer that is a table with what is said beside it."""
    told, sentences = list(table), list(says)
    lines = (*_table(("", ""), told), *sentences, *finding_lines(findings, load()))
    data: dict[str, object] = {
        "schema": f"drawndose.aerosol-{what}/1",
        "rows": [{"name": name, "text": text} for name, text in told],
        "says": sentences,
        "findings": [finding_data(one) for one in findings],
    }
    return Told(lines[1:], data, _cautioned(findings))


def _cautioned(findings: Iterable[Finding]) -> bool:
    return any(one.level is Level.CAUTION for one in findings)
