"""Solves check cases of the area "metrology": syringe tolerances, density of water, Z factors, coverage factors.

A kind is a function of the inputs by name; the answers' names carry their units, and their values are bare numbers. A permissible
error is exact; what comes from a formula carries every digit that a float has.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction

from drawndose.bench.verification import Found, Unsupported
from drawndose.quantities import Fault, Quantity, Refused, read_number
from drawndose.reference import load
from drawndose.reference.cases import Case
from drawndose.science.buoyancy import water_z
from drawndose.science.quantiles import coverage_factor
from drawndose.science.water import water_density

INFINITE = Fraction(10**9)
"""Degrees of freedom written as inf: so many that Student's t is the normal distribution to every digit."""

Given = Mapping[str, Fraction]
Answers = Mapping[str, Fraction]


def syringe_tolerance(given: Given) -> Answers:
    """What the rule of the capacity's class permits at a volume, mL and percent of the volume; exact."""
    nominal, expelled = given["nominal_mL"], given["expelled_mL"]
    if not 0 < expelled <= nominal:
        accepted = f"more than 0 and at most {nominal} mL"
        rule = "a syringe expels no more than it holds"
        raise Refused([Fault(field="expelled_mL", rule=rule, came=str(expelled), accepted=accepted)])
    book = load()
    one = replace(book.instrument("syringe-1"), capacity=nominal, tolerance=book.syringe_rule(nominal))
    error = one.permissible_error(expelled)
    return {"tolerance_mL": error, "tolerance_percent": 100 * error / expelled}


def density(given: Given) -> Answers:
    """The density of water at a temperature."""
    return {"rho_kg_m3": _exactly(water_density(float(given["t_degC"])))}


def z_factor(given: Given) -> Answers:
    """The Z factor of water with air at the same temperature."""
    return {"z_mL_per_g": _exactly(water_z(*(float(given[name]) for name in ("t_degC", "p_hPa", "rh_percent"))))}


def factor(given: Given) -> Answers:
    """The coverage factor of a level with so many degrees of freedom."""
    return {"k": _exactly(coverage_factor(float(given["level_percent"]), float(given["nu"])))}


KINDS: Mapping[str, tuple[Callable[[Given], Answers], tuple[str, ...]]] = {
    "syringe_tolerance": (syringe_tolerance, ("nominal_mL", "expelled_mL")),
    "water_density": (density, ("t_degC",)),
    "z_factor": (z_factor, ("t_degC", "p_hPa", "rh_percent")),
    "z_factor_2": (z_factor, ("t_degC", "p_hPa", "rh_percent")),
    "coverage_factor": (factor, ("level_percent", "nu")),
}
"""Kinds with their inputs. The two Z kinds are one formula, held against two printed tables."""


def solve(case: Case) -> Found:
    """The answers of a case by name. Unsupported names a kind or an input that is not known, or a library that is missing."""
    if case.name not in KINDS:
        raise Unsupported(f"the kind {case.kind}")
    work, names = KINDS[case.name]
    unknown = [name for name in case.given if name not in names]
    if unknown:
        raise Unsupported(f"the input {', '.join(unknown)} of {case.kind}")
    missing = [name for name in names if name not in case.given]
    if missing:
        rule, accepted = "an input is missing", ", ".join(names)
        raise Refused([Fault(field=name, rule=rule, came="nothing", accepted=accepted) for name in missing])
    given = {name: _number(value, name) for name, value in case.given.items()}
    try:
        found = work(given)
    except ModuleNotFoundError as error:
        raise Unsupported(f"{case.kind} without {error.name}: install drawndose[science]") from error
    return {name: (Quantity.of_text(value, ""),) for name, value in found.items()}


def _number(value: object, name: str) -> Fraction:
    if value == "inf":
        return INFINITE
    if isinstance(value, str | int):
        return read_number(str(value), field=name)
    raise Unsupported(f"{name} as a list or a table")


def _exactly(value: float) -> Fraction:
    """A float with the digits that Python writes for it, so that it is told as people would read it."""
    return Fraction(repr(value))
