"""A department's own nebulizers as a setting: what was measured on them, each a range; the ranges of their kind stand for the rest.

`Small jet of the ward: jet, residual=1.02 to 1.21 mL, output=0.31 to 0.38 mL/min, at=sheet 9; ...`. The weighing of a nebulizer writes
this text. Chosen with a reason like every setting, so the ledger tells who put it in force and what stood there before.
"""

from __future__ import annotations

import re
from typing import Final

from drawndose.quantities import Fault, gather
from drawndose.reference import Nebulizer, load
from drawndose.reference.nebulizer import take_nebulizer
from drawndose.reference.table import Table
from drawndose.science.aerosol.bands import Band
from drawndose.science.aerosol.measured import Measured

NONE: Final = "none"
MOST: Final = 12
FIGURES: Final = {
    "residual": "residual", "tapped": "tapped", "output": "output", "water": "evaporated", "size": "mmad_um", "spread": "gsd",
    "flow": "flow", "works": "works_from",
}  # fmt: skip
"""The figures that may be stated, by the words of the aerosol page."""
WEIGHED: Final = "weighed in this department"
"""The source that is told of such a figure; `at` says the sheet."""
EXAMPLE: Final = "Small jet: jet, residual=1.02 to 1.21 mL, output=0.31 to 0.38 mL/min, at=sheet 9"


def nebulizers(text: str, field: str) -> tuple[Nebulizer, ...]:
    """Nebulizers out of the text of a setting; "none" for no own ones. Refused with every fault of every one.

    >>> (one,) = nebulizers("Small jet: jet, residual=1.02 to 1.21 mL, at=sheet 9", "nebulizers")
    >>> one.id, one.kind.value, str(one.residual.low), one.residual.origin.at
    ('small-jet', 'small-volume jet', '51/50', 'sheet 9')
    """
    if text.strip().lower() == NONE:
        return ()
    pieces = [piece.strip() for piece in text.split(";") if piece.strip()]
    faults: list[Fault] = []
    if len(pieces) > MOST:
        faults.append(Fault(field=field, rule="so many are kept", came=str(len(pieces)), accepted=f"at most {MOST}"))
    made = [_one(piece, field, faults) for piece in pieces[:MOST]]
    ids = [one.id for one in made if one is not None]
    taken = [one.id for one in load().nebulizers]
    for ident in dict.fromkeys(one for one in ids if ids.count(one) > 1 or one in taken):
        rule = "a name stands once, here and among the kinds"
        faults.append(Fault(field=field, rule=rule, came=ident, accepted="another name"))
    gather(faults)
    return tuple(one for one in made if one is not None)


def _one(piece: str, field: str, faults: list[Fault]) -> Nebulizer | None:
    """One nebulizer; None where its faults are kept."""
    name, colon, rest = (part.strip() for part in piece.partition(":"))
    kind, *boxes = (part.strip() for part in rest.split(","))
    ident = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")
    if not (colon and ident and len(name) <= 60):
        faults.append(Fault(field=field, rule="a name, then what it is", came=piece[:60], accepted=EXAMPLE))
        return None
    before, where = len(faults), f"{field}, {name}"
    kinds = {one.id: one.kind.value for one in load().nebulizers}
    if kind not in kinds:
        faults.append(Fault(field=where, rule="no kind has this id", came=kind[:60], accepted=", ".join(kinds)))
    said = _said(boxes, where, faults)
    at = said.pop("at", "")
    if not at:
        faults.append(Fault(field=where, rule="where it was measured is needed", came="nothing", accepted="at=sheet 9"))
    if not said:
        faults.append(Fault(field=where, rule="nothing was measured on it", came="nothing", accepted="residual=1.1 mL"))
    if len(faults) > before:
        return None
    origin = {"source": WEIGHED, "at": at}
    spans = {FIGURES[key]: _ends(value) | origin | {"how": "computed"} for key, value in said.items()}
    values = {"id": ident, "name": name, "kind": kinds[kind], **spans, **origin, "how": "read"}
    made = take_nebulizer(Table(values, where, faults))
    return made if len(faults) == before else None


def _said(boxes: list[str], where: str, faults: list[Fault]) -> dict[str, str]:
    """NAME=TEXT by name, each once."""
    found: dict[str, str] = {}
    for box in boxes:
        key, sign, value = (part.strip() for part in box.partition("="))
        if key not in {*FIGURES, "at"} or not sign or not value:
            accepted = ", ".join((*FIGURES, "at"))
            faults.append(Fault(field=where, rule="NAME=TEXT with a known name", came=box[:60], accepted=accepted))
        elif key in found:
            faults.append(Fault(field=where, rule="it stands twice", came=box[:60], accepted="once"))
        else:
            found[key] = value
    return found


def _ends(text: str) -> dict[str, str]:
    """ "1.02 to 1.21 mL" as both ends with their unit; one value is both."""
    first, sign, second = (part.strip() for part in text.partition(" to "))
    if not sign:
        return {"from": first}
    unit = second.lstrip("0123456789.").strip()
    bare = not first.lstrip("0123456789.").strip()
    return {"from": f"{first} {unit}".strip() if bare else first, "to": second}


def setting_text(found: Measured, name: str, kind: str, at: str) -> str:
    """What weighings found, as the text of the setting."""
    figures = {"residual": (found.residual.band, " mL"), "output": (found.output.band, " mL/min")}
    if found.water_measured:
        figures["water"] = (found.evaporated, "")
    said = [f"{key}={band.low:.3g} to {band.high:.3g}{unit}" for key, (band, unit) in figures.items()]
    return f"{name}: {kind}, {', '.join(said)}, at={at}"


def words(one: Nebulizer) -> str:
    """One own nebulizer in words: its name, its kind, which figures are its own, and where they were found."""
    figures = {key: getattr(one, name) for key, name in FIGURES.items()}
    own = [f"{key} {Band.of_span(span).told(span.unit)}" for key, span in figures.items() if span is not None]
    return f"{one.name}: {one.kind.value}, {', '.join(own)} ({one.origin.at})"
