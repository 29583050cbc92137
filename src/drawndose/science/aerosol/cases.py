"""Solves check cases of the area "aerosol": each kind is one card, or a few of them together.

A kind takes its inputs by name, as numbers whose unit is in the name; where it takes a list it answers with one. What comes out of a
formula carries every digit that a float has; the recipes of continuous nebulizing are exact.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Final

from drawndose.bench.verification import Answers, Found, Unsupported
from drawndose.quantities import Fault, Quantity, Refused, read_number
from drawndose.reference import load
from drawndose.reference.cases import Case, Held
from drawndose.science.aerosol import breathing, continuous, cup, droplets, gas, humidity, pump_fed, vapour
from drawndose.science.aerosol.numbers import Numbers
from drawndose.science.aerosol.simple_fits import simple_fits
from drawndose.science.aerosol.task_group import Regions, settling, settling_of_spray
from drawndose.science.aerosol.worker import worker

One = Fraction | tuple[Fraction, ...] | str
Given = Mapping[str, One]
Result = Mapping[str, Numbers | Fraction | list[Fraction] | list[Numbers]]

PLAUSIBLE_BREATH: Final = (1000.0, 250.0)
"""The breath [mL, mL/s] with which our totals are held beside another model's, whose breath its table does not say."""


def _number(given: Given, name: str) -> Fraction:
    value = given[name]
    if not isinstance(value, Fraction):
        raise Unsupported(f"{name} as a list or a text")
    return value


def _float(given: Given, name: str) -> float:
    return float(_number(given, name))


def _floats(given: Given, *names: str) -> list[float]:
    return [_float(given, name) for name in names]


def _each(value: One) -> tuple[Fraction, ...]:
    if isinstance(value, str):
        raise Unsupported(f"{value} where numbers are wanted")
    return value if isinstance(value, tuple) else (value,)


def _as_came(
    value: One, answers: list[Numbers] | list[Fraction]
) -> Numbers | Fraction | list[Numbers] | list[Fraction]:
    """A list for a list, one for one."""
    return answers if isinstance(value, tuple) else answers[0]


def water(given: Given) -> Result:
    """Water in air."""
    return {"g_m3": humidity.water_content(*_floats(given, "T_C", "rh"))}


def evaporation(given: Given) -> Result:
    """Vapour by the flow of gas."""
    return {"E_mL_min": vapour.vapour_rate(*_floats(given, "Qg_L_min", "T_solution_C", "inlet_g_m3"))}


def cooling(given: Given) -> Result:
    """The wet-bulb temperature."""
    return {"T_wet_C": humidity.coldest(*_floats(given, "T_C", "rh"))}


def cup_run(given: Given) -> Result:
    """A whole run of the cup; amounts too where a charge is given."""
    run = _floats(given, "V0_mL", "Vr_mL", "e")
    emitted = cup.emitted_share(*run)
    found: dict[str, Numbers] = {
        "conc_ratio": cup.concentration_rise(*run),
        "emitted_fraction": emitted,
        "residual_fraction": cup.kept_share(*run),
        "mean_concentration_ratio": cup.mean_droplets(*run),
    }
    if "dose_mg" in given:
        dose = _float(given, "dose_mg")
        found |= {"emitted_mg": dose * emitted, "residual_mg": dose * cup.kept_share(*run)}
    return found


def gravimetric(given: Given) -> Result:
    """What left by weight."""
    return {"released_fraction": cup.released_share(*_floats(given, "V0_mL", "Vr_mL"))}


def share_from_ratio(given: Given) -> Result:
    """The share of vapour out of a rise in concentration."""
    start, end, volumes = _floats(given, "c0", "c_end", "V0_over_V")
    return {"ratio": end / start, "e": vapour.share_from_ratio(start, end, volumes)}


def treatment_time(given: Given) -> Result:
    """Time to sputter."""
    return {"minutes": cup.treatment_time(*_floats(given, "V0_mL", "Vr_mL", "W_mL_min"))}


def inhaled(card: Callable[[float, float, float, float], Numbers]) -> Callable[[Given], Result]:
    """The inhaled share of a breath of one wave."""

    def work(given: Given) -> Result:
        tidal, rate, flow = _floats(given, "VT_mL", "f_min", "Qg_L_min")
        duty = breathing.duty_of(*_floats(given, "I", "E"))
        return {"peak_L_min": breathing.peak_flow(tidal, rate, duty), "f_inh": card(tidal, rate, duty, flow)}

    return work


def duty_cycle(given: Given) -> Result:
    """The inhaled share where no gas drives."""
    return {"inhaled_fraction": breathing.inhaled_without_gas(*_floats(given, "F_em", "DC"))}


def lung_share(given: Given) -> Result:
    """Of a steady output, what is inhaled and under 5 micrometres."""
    whole, small, duty = _floats(given, "rate_mg_min", "rate_below5_mg_min", "DC")
    return {"efficiency": breathing.inhaled_without_gas(small / whole, duty)}


def lung_share_enhanced(given: Given) -> Result:
    """The same where the output rises with the inspiration."""
    inward, small, outward, duty = _floats(given, "A_insp", "A_insp_below5", "A_exp", "DC")
    return {"efficiency": breathing.inhaled_enhanced(duty, inward / outward, small / inward)}


def percent_to_mg(given: Given) -> Result:
    """A share of the charge as an amount, exact."""
    return {"lung_mg": _number(given, "charge_mg") * _number(given, "lung_percent") / 100}


def balance(given: Given) -> Result:
    """A printed balance of mass: that it closes, and what of all that left the apparatus is in the lung."""
    parts = [_number(given, name) for name in ("apparatus", "exhaled", "mouth", "lung")]
    return {"total": sum(parts, Fraction(0)), "lung_of_emitted": parts[3] / sum(parts[1:], Fraction(0))}


def below(given: Given) -> Result:
    """Share under a size."""
    return {"fraction": droplets.share_below(*_floats(given, "cut_um", "MMAD_um", "GSD"))}


def mass_over_count(given: Given) -> Result:
    """Median by mass over median by count."""
    return {"ratio": droplets.mass_over_count(_float(given, "GSD"))}


def fits(given: Given) -> Result:
    """The five simple fits."""
    found = simple_fits(_float(given, "d_um"))
    values = (found.inhalable, found.head, found.bronchi, found.alveoli, found.total)
    return dict(zip(("IF", "HA", "TB", "AL", "TOT"), values, strict=True))


def _percent(found: Regions) -> dict[str, Numbers]:
    shares = {
        "ET1": found.front,
        "ET2": found.throat,
        "ET": found.head,
        "BB": found.bronchi,
        "bb": found.bronchioles,
        "TB": found.airways,
        "AI": found.alveoli,
        "lung": found.lung,
        "total": found.total,
    }
    return {name: 100.0 * share for name, share in shares.items()}


def reference_worker(given: Given) -> Result:
    """The reference worker of ICRP 68."""
    if given["mode"] != "nose":
        raise Unsupported(f"the worker by {given['mode']}")
    return _percent(worker(*_floats(given, "AMAD_um", "GSD", "density", "shape")))


def mouthpiece(given: Given) -> Result:
    """One size by mouth."""
    size, tidal, drawn, frc = _floats(given, "d_um", "VT_mL", "flow_mL_s", "FRC_mL")
    return _percent(settling(size, tidal, drawn, by_mouth=True, frc_mL=frc))


def mouthpiece_spray(given: Given) -> Result:
    """A spray by mouth."""
    mmad, gsd, tidal, drawn, frc = _floats(given, "MMAD_um", "GSD", "VT_mL", "flow_mL_s", "FRC_mL")
    return _percent(settling_of_spray(mmad, gsd, tidal, drawn, by_mouth=True, frc_mL=frc))


def plausible_total(given: Given) -> Result:
    """Our total beside another model's, with a breath that is ours."""
    sizes = given["d_um"]
    found = [100.0 * settling(float(one), *PLAUSIBLE_BREATH, by_mouth=True).total for one in _each(sizes)]
    return {"total_percent": _as_came(sizes, found)}


def mixture(given: Given) -> Result:
    """What to mix for hours."""
    names = ("rate_mg_h", "output_mL_h", "hours", "stock_mg_mL", "dead_mL")
    found = continuous.recipe(*(_number(given, name) for name in names))
    return {
        "conc_mg_mL": found.strength_mg_mL,
        "total_mL": found.total_mL,
        "mass_mg": found.drug_mg,
        "drug_mL": found.stock_mL,
        "diluent_mL": found.diluent_mL,
    }


def fed(given: Given) -> Result:
    """What a pump feeds, and how much of such a feed was measured to leave."""
    rate = _number(given, "conc_mg_mL") * _number(given, "feed_mL_h")
    share = load().aerosol.fed_share
    return {"rate_mg_h": rate, "measured_output_mg_h": rate * (share.low + share.high) / 2}


def actual(given: Given) -> Result:
    """The dose an hour at the true output."""
    strength, outputs = _number(given, "conc_mg_mL"), given["output_mL_h"]
    return {"rate_mg_h": _as_came(outputs, [continuous.true_rate(strength, one) for one in _each(outputs)])}


def by_weight(given: Given) -> Result:
    """A dose an hour by weight within limits."""
    each, least, most = (_number(given, name) for name in ("mg_kg_h", "min_mg_h", "max_mg_h"))
    weights = given["weight_kg"]
    found = [continuous.rate_by_weight(each, one, least, most)[0] for one in _each(weights)]
    return {"rate_mg_h": _as_came(weights, found)}


def steady(given: Given) -> Result:
    """The steady cup of a pump-fed nebulizer."""
    strength, feed, evaporated = _floats(given, "feed_conc_mg_mL", "feed_mL_h", "e")
    found = {"cup_conc_mg_mL": pump_fed.steady_cup(strength, evaporated)}
    return found | {"emitted_mg_h": pump_fed.steady_rate(strength, feed)}


def cylinder(given: Given) -> Result:
    """Minutes of a cylinder."""
    return {"minutes": gas.cylinder_minutes(*_floats(given, "factor", "psi", "reserve_psi", "flow_L_min"))}


def heliox(given: Given) -> Result:
    """The actual flow of heliox, and the factor that its density gives."""
    read, factor = _number(given, "indicated_L_min"), _number(given, "factor")
    found: dict[str, Numbers] = {"actual_L_min": gas.heliox_flow(float(read), float(factor))}
    mixed = next((one for one in load().aerosol.heliox.values() if one.factor == factor), None)
    return found | ({"sqrt_density_factor": gas.heliox_factor(float(mixed.helium))} if mixed is not None else {})


KINDS: Final[Mapping[str, tuple[Callable[[Given], Result], str, str]]] = {
    "rho_sat": (water, "T_C rh", ""),
    "evaporation_rate": (evaporation, "Qg_L_min T_solution_C inlet_g_m3", ""),
    "cooling_bound": (cooling, "T_C rh", ""),
    "cup": (cup_run, "V0_mL Vr_mL e", "dose_mg"),
    "cup_gravimetric": (gravimetric, "V0_mL Vr_mL", ""),
    "evaporative_share_from_ratio": (share_from_ratio, "c0 c_end V0_over_V", ""),
    "treatment_time": (treatment_time, "V0_mL Vr_mL W_mL_min", ""),
    "f_inh_sine": (inhaled(breathing.inhaled_of_sine), "VT_mL f_min I E Qg_L_min", ""),
    "f_inh_square": (inhaled(breathing.inhaled_of_square), "VT_mL f_min I E Qg_L_min", ""),
    "inhaled_duty_cycle": (duty_cycle, "F_em DC", ""),
    "expected_lung_share": (lung_share, "rate_mg_min rate_below5_mg_min DC", ""),
    "expected_lung_share_breath_enhanced": (lung_share_enhanced, "A_insp A_insp_below5 A_exp DC", ""),
    "percent_to_mg": (percent_to_mg, "charge_mg lung_percent", ""),
    "mass_balance": (balance, "apparatus exhaled mouth lung", ""),
    "lognormal_below": (below, "cut_um MMAD_um GSD", ""),
    "mmd_over_cmd": (mass_over_count, "GSD", ""),
    "hinds": (fits, "d_um", ""),
    "icrp66_worker": (reference_worker, "AMAD_um GSD density shape mode", ""),
    "icrp66_mouthpiece": (mouthpiece, "d_um VT_mL flow_mL_s FRC_mL", ""),
    "icrp66_mouthpiece_poly": (mouthpiece_spray, "MMAD_um GSD VT_mL flow_mL_s FRC_mL", ""),
    "plausibility_total": (plausible_total, "d_um", ""),
    "continuous": (mixture, "rate_mg_h output_mL_h hours stock_mg_mL dead_mL", ""),
    "continuous_feed": (fed, "conc_mg_mL feed_mL_h", ""),
    "continuous_actual": (actual, "conc_mg_mL output_mL_h", ""),
    "paediatric_rate": (by_weight, "mg_kg_h min_mg_h max_mg_h weight_kg", ""),
    "pump_fed": (steady, "feed_conc_mg_mL feed_mL_h e", ""),
    "cylinder": (cylinder, "factor psi reserve_psi flow_L_min", ""),
    "heliox_flow": (heliox, "indicated_L_min factor", ""),
}
"""Kinds with the inputs that they need, and those that they may have."""


def solve(case: Case) -> Found:
    """The answers of a case by name. Unsupported names a kind or an input that is not known, or a library that is missing."""
    if case.name not in KINDS:
        raise Unsupported(f"the kind {case.kind}")
    work, needs, may = KINDS[case.name]
    names = needs.split()
    unknown = [name for name in case.given if name not in (*names, *may.split())]
    if unknown:
        raise Unsupported(f"the input {', '.join(unknown)} of {case.kind}")
    missing = [name for name in names if name not in case.given]
    if missing:
        rule, accepted = "an input is missing", ", ".join(names)
        raise Refused([Fault(field=name, rule=rule, came="nothing", accepted=accepted) for name in missing])
    given = {name: _read(value, name) for name, value in case.given.items()}
    try:
        found = work(given)
    except ModuleNotFoundError as error:
        raise Unsupported(f"{case.kind} without {error.name}: install drawndose[science]") from error
    return {name: (_answer(value),) for name, value in found.items()}


def _read(value: Held, name: str) -> One:
    if value in ("nose", "mouth"):
        return str(value)
    if isinstance(value, str | int):
        return read_number(str(value), field=name)
    if isinstance(value, tuple):
        return tuple(read_number(str(one), field=name) for one in value)
    raise Unsupported(f"{name} as a table")


def _answer(value: Numbers | Fraction | list[Numbers] | list[Fraction]) -> Quantity | Answers:
    """A list for a list; a float with the digits that Python writes for it, so that it is told as people would read it."""
    if isinstance(value, list):
        return tuple(_bare(one) for one in value)
    return _bare(value)


def _bare(value: Numbers | Fraction) -> Quantity:
    exact = value if isinstance(value, Fraction) else Fraction(repr(float(value)))
    return Quantity.of_text(exact, "")
