"""Reading measures out of TOML: droppers, syringes with their tips, cylinders. A scale that does not divide is a fault."""

from collections.abc import Callable, Mapping
from fractions import Fraction

from drawndose.reference.calibration import take_calibration
from drawndose.reference.instrument import TIPS, Instrument, Kind
from drawndose.reference.provenance import Origin, take_origin
from drawndose.reference.table import Table
from drawndose.reference.tolerance import Tolerance, named_tolerance

Rules = Mapping[str, Tolerance]


def take_dropper(table: Table, rules: Rules) -> Instrument:
    """A dropper: it measures at its marks and nowhere else."""
    capacity, marks = table.needed_ml("capacity"), []
    for place, text in enumerate(table.texts("marks")):
        marks.append(Table({"mark": text}, f"{table.where}.marks[{place}]", table.faults).needed_ml("mark"))
    if not marks:
        table.fault("marks", "a dropper has at least one mark", "", '["0.25 mL", "0.5 mL"]')
    if len(set(marks)) < len(marks) or max(marks, default=capacity) > capacity:
        rule = "each mark stands once, and none above the capacity"
        table.fault("marks", rule, ", ".join(table.texts("marks")), f"up to {table.text('capacity')}")
    made = Instrument(
        id=table.text("id"),
        name=table.text("name"),
        kind=Kind.DROPPER,
        tip="dropper",
        capacity=capacity,
        step=min(marks, default=Fraction(1)),
        numbered=min(marks, default=Fraction(1)),
        marks=tuple(sorted(marks)),
        tolerance=named_tolerance(table, rules),
        origin=take_origin(table),
        only_named=table.truth("only_named", False),
        calibration=take_calibration(table, capacity),
    )
    table.done()
    return made


def take_syringes(table: Table, rules: Rules) -> list[Instrument]:
    """One instrument for each tip: a luer tip takes a needle, an oral tip can never reach a vein."""
    tips = table.texts("tips")
    if not tips or set(tips) - set(TIPS) or len(set(tips)) < len(tips):
        table.fault("tips", "a syringe has one tip or several, each once", ", ".join(tips), ", ".join(TIPS))
    ident, name = table.text("id"), table.text("name")
    made = [
        _scaled(
            table,
            rules,
            Kind.SYRINGE,
            tip=tip,
            ident=ident if tip == "luer" else f"{ident}-{tip}",
            name=f"{name}, {TIPS.get(tip, tip)}",
        )
        for tip in tips or ("luer",)
    ]
    table.done()
    return made


def take_cylinder(table: Table, rules: Rules) -> Instrument:
    """A graduated cylinder, read at the lowest point of the meniscus."""
    made = _scaled(table, rules, Kind.CYLINDER, tip="", ident=table.text("id"), name=table.text("name"))
    table.done()
    return made


def _scaled(table: Table, rules: Rules, kind: Kind, *, tip: str, ident: str, name: str) -> Instrument:
    capacity, step, numbered = (table.needed_ml(key) for key in ("capacity", "step", "numbered"))
    for key, whole in (("capacity", capacity), ("numbered", numbered)):
        if (whole / step).denominator != 1:
            table.fault("step", f"the scale does not divide: {key} is no whole number of steps", table.text("step"),
                        f"a step that divides {table.text(key)}")  # fmt: skip
    length, length_origin = _known(table, "scale_length_mm", Table.number)
    nozzle, nozzle_origin = _known(table, "nozzle", Table.ml) if kind is Kind.SYRINGE else (None, None)
    return Instrument(
        id=ident,
        name=name,
        kind=kind,
        tip=tip,
        capacity=capacity,
        step=step,
        numbered=numbered,
        marks=(),
        tolerance=named_tolerance(table, rules),
        origin=take_origin(table),
        scale_length=length,
        scale_length_origin=length_origin,
        nozzle=nozzle,
        nozzle_origin=nozzle_origin,
        only_named=table.truth("only_named", False),
        calibration=take_calibration(table, capacity),
    )


def _known(
    table: Table, key: str, take: Callable[[Table, str], Fraction | None]
) -> tuple[Fraction | None, Origin | None]:
    """A value that has its own origin, or nothing where it is not known."""
    inner = table.table(key)
    if inner is None:
        return None, None
    value, origin = take(inner, "is"), take_origin(inner)
    if not value and (value is not None or not inner.has("is")):
        inner.fault("is", "a value of more than 0 is needed", "", '"57" for mm, "0.07 mL"')
    inner.done()
    return value, origin
