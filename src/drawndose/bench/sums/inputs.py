"""Every input that a sum may be given, once: its name, its other names, what it means, and how it is read."""

from drawndose.bench.sums import readers as r
from drawndose.bench.sums.shape import Input

_VOLUME = "0.5 mL, 1 L"
_MASS = "454 g, 2.75 kg, 5 mg"
_STRENGTH = "0.5 %, 5 mg/mL, 80 mg per 2 mL, 1:1000"


def _in(name: str, meaning: str, accepts: str, read: r.Read, also: str = "") -> Input:
    return Input(name, meaning, accepts, read, tuple(also.split()))


_ALL = (
    # doses and strengths
    _in(
        "dose",
        "the dose wanted",
        "2.5 mg, 100 units, 25 mEq, 5 mL",
        r.counted,
        "ordered order ordered_dose desired_dose drug_mass amount_wanted",
    ),
    _in(
        "strength",
        "the strength in hand",
        _STRENGTH,
        r.stated,
        "stock start_strength concentration stock_strength on_hand initial_strength drug_strength available stock_concentration",
    ),
    _in(
        "mass",
        "the amount of drug in the container or the mixture",
        "1 g, 500 mcg, 5 million units",
        r.mass_or_strength,
        "amount solute solute_mass drug_amount content mass_of_part vial_mass powder_mass powder",
    ),
    _in(
        "volume", "the volume of the solution", _VOLUME, r.quantity("mL"), "solution_volume vial_volume volume_in_hand"
    ),
    _in(
        "step",
        "how the strength in hand is made",
        "1 mL of 1:10000 plus 9 mL saline; 1 mL of that made up to 10 mL",
        r.step,
        "steps dilution",
    ),
    _in(
        "final_strength",
        "the strength wanted",
        _STRENGTH,
        r.stated,
        "desired_strength wanted_strength target_strength new_strength",
    ),
    _in(
        "start_volume",
        "the volume taken",
        _VOLUME,
        r.quantity("mL"),
        "volume_taken stock_volume initial_volume drug_volume volume_used",
    ),
    _in(
        "final_volume",
        "the volume of the whole after dilution",
        _VOLUME,
        r.quantity("mL"),
        "total_volume fill made_up_to wanted_volume",
    ),
    _in("start_mass", "the mass taken", _MASS, r.quantity("g", kg="kilogram"), "mass_taken initial_mass stock_mass"),
    _in(
        "final_mass",
        "the mass of the whole",
        _MASS,
        r.quantity("g", kg="kilogram"),
        "total_mass whole_mass mixture_mass",
    ),
    _in(
        "diluent",
        "the volume of diluent added",
        _VOLUME,
        r.quantity("mL"),
        "diluent_volume volume_added added_volume water saline_volume diluent_added solvent_volume solvent",
    ),
    _in(
        "diluent_mass",
        "the mass of diluent added",
        _MASS,
        r.quantity("g", kg="kilogram"),
        "water_mass solvent_mass mass_added",
    ),
    _in(
        "powder_volume",
        "the volume that the powder itself takes up in solution",
        "0.5 mL, 0 mL",
        r.quantity("mL"),
        "displacement displacement_volume displacement_value",
    ),
    _in(
        "volume_of_part",
        "the volume of the liquid part",
        "35 mL",
        r.quantity("mL"),
        "part_volume solute_volume volume_of_drug",
    ),
    _in(
        "preservative_strength",
        "the strength of the preservative in the same solution",
        "0.01 %",
        r.stated,
        "excipient_strength",
    ),
    # by weight and by time
    _in(
        "dose_rate",
        "the dose for each kg, for a time, or both",
        "0.15 mg/kg, 50 mg/kg/day, 10 mcg/min, 1 mL per 2 kg",
        r.dose_rate,
        "rate_of_dose ordered_rate dose_per_kg",
    ),
    _in("weight", "the patient's weight", "18 kg, 160 lb", r.weight, "body_weight patient_weight"),
    _in("lb_per_kg", "pounds taken for one kg", "2.2", r.quantity("lb/kg", one="lb/kg"), "pounds_per_kg"),
    _in("kg_per_lb", "kg taken for one pound", "0.454", r.quantity("kg/lb", one="kg/lb")),
    _in(
        "doses_per_day",
        "how many doses in a day",
        "3",
        r.quantity("dose", "dose/day", one="dose"),
        "times_per_day per_day_doses doses_each_day",
    ),
    _in("interval", "hours between doses", "8 h", r.quantity("h", one="h"), "every"),
    _in("minimum", "the smallest dose", "2.5 mg", r.counted, "min minimum_dose"),
    _in("maximum", "the largest dose", "10 mg, 4 g/day", r.counted, "max maximum_dose cap"),
    _in("days", "for how many days", "7", r.quantity("day", one="day"), "duration_days course"),
    _in(
        "pump_rate",
        "volume in a time, as the pump is set",
        "75 mL/h",
        r.quantity("mL/h", "drop/min"),
        "rate infusion_rate output",
    ),
    _in("time", "how long", "30 min, 3 h", r.quantity("h"), "over infusion_time run_time"),
    _in(
        "drops_per_mL",
        "drops of this named dropper or set in 1 mL",
        "20",
        r.quantity("drop/mL", one="drop/mL"),
        "drop_factor drops_per_ml",
    ),
    _in("drops", "a number of drops of this named dropper", "20", r.quantity("drop", one="drop"), "number_of_drops"),
    _in("drop_volume", "the volume of one drop of this named dropper", "0.05 mL", r.quantity("mL"), "volume_per_drop"),
    _in(
        "dose_per_drop",
        "the amount in one drop of this named dropper",
        "0.25 mg",
        r.quantity("mg", "mg/drop"),
        "mass_per_drop",
    ),
    # alligation and mixtures
    _in("strong", "the stronger of the two", _STRENGTH, r.stated, "stronger higher strong_strength high"),
    _in(
        "weak",
        "the weaker of the two, 0 % for a diluent or a base",
        "0 %, 4 %",
        r.stated,
        "weaker lower weak_strength low diluent_strength base_strength",
    ),
    _in("strong_mass", "mass of the stronger", _MASS, r.quantity("g", kg="kilogram")),
    _in("weak_mass", "mass of the weaker", _MASS, r.quantity("g", kg="kilogram"), "base_amount"),
    _in("strong_volume", "volume of the stronger", _VOLUME, r.quantity("mL")),
    _in("weak_volume", "volume of the weaker", _VOLUME, r.quantity("mL")),
    _in("lots", "the lots that are mixed", "200 g of 10 %, 50 g of 20 %, 100 g of 5 %", r.text, "mixture"),
    *(_in(f"volume_{x}", f"volume of solution {x.upper()}", _VOLUME, r.quantity("mL")) for x in "abcd"),
    *(_in(f"mass_{x}", f"mass of lot {x.upper()}", _MASS, r.quantity("g", kg="kilogram")) for x in "abcd"),
    *(_in(f"strength_{x}", f"strength of {x.upper()}", _STRENGTH, r.stated) for x in "abcd"),
    _in("ratio", "parts to parts, with how it is read", "1:4, read as 1 part drug plus 4 parts diluent", r.text),
    _in("part", "the amount of the first part", "40 mL, 50 g", r.quantity("mL", "g", kg="kilogram"), "drug_part"),
    _in(
        "parts_water",
        "mL of solvent that dissolve 1 g",
        "2.5",
        r.quantity("mL/g", one="mL/g"),
        "parts_solvent solubility parts_alcohol parts_glycerin parts",
    ),
    # substances
    _in(
        "molar_mass",
        "mass of one mole",
        "58.5 g/mol",
        r.quantity("g/mol", one="g/mol"),
        "molecular_weight molecular_mass formula_mass atomic_mass",
    ),
    _in("valence", "charges of one particle", "2", r.number, "charge valency"),
    _in("meq", "milliequivalents", "20 mEq", r.quantity("mEq", one="mEq"), "milliequivalents mEq"),
    _in("mmol", "millimoles", "20 mmol", r.quantity("mmol", one="mmol"), "millimoles"),
    _in("molarity", "moles in a volume", "0.15 mol/L, 0.15 M", r.stated),
    _in("particles", "particles that one unit of the substance gives", "2", r.number, "species particles_per_unit"),
    _in("osmotic_coefficient", "the part of the ideal osmolarity that acts", "0.93", r.number),
    _in("ions", "ions of one unit of the substance", "2", r.number, "number_of_ions n"),
    _in("dissociation", "the share that is dissociated", "90 %", r.number, "degree_of_dissociation alpha"),
    _in("i_factor", "dissociation factor i", "1.8", r.number, "i dissociation_factor vant_hoff"),
    _in("nacl_molar_mass", "mass of one mole of sodium chloride", "58.5 g/mol", r.quantity("g/mol", one="g/mol")),
    _in("nacl_i", "dissociation factor of sodium chloride", "1.8", r.number, "nacl_i_factor"),
    _in("molality", "moles in 1 kg of solvent", "1 mol/kg", r.molality),
    _in(
        "kf",
        "lowering of the freezing point by one mole in 1 kg",
        "1.86 deg per molal",
        r.degrees,
        "cryoscopic_constant",
    ),
    _in("e_value", "sodium chloride equivalent E", "0.52", r.number, "e E"),
    _in(
        "isotonic", "percent of sodium chloride that is isotonic", "0.9 %", r.stated, "isotonic_strength nacl_isotonic"
    ),
    _in("agent_e", "E of the agent used instead of sodium chloride", "0.52", r.number, "e_agent agent_e_value"),
    *(
        _in(
            f"drug_{x}",
            f"dissolved substance {x.upper()} and its E or its lowering",
            "5.6 g, E 0.49; 1 %, 0.14 deg per 1 %",
            r.text,
        )
        for x in "abcde"
    ),
    _in("depression", "lowering of the freezing point by 1 % of the drug", "0.14 deg", r.degrees, "drug_depression"),
    _in(
        "nacl_depression",
        "lowering of the freezing point by 1 % of the agent that is added",
        "0.576 deg per 1 %",
        r.degrees,
        "agent_depression",
    ),
    _in("target", "lowering of the freezing point that is isotonic", "0.52 deg", r.degrees, "target_depression"),
    _in("saline", "strength of the saline that carries the sodium chloride", "0.9 %", r.stated),
    # salts, bases and units
    _in("salt_mass", "mass of the salt", "3 mg", r.quantity("mg", kg="kilogram"), "salt"),
    _in("base_mass", "mass of the base", "2.5 mg", r.quantity("mg", kg="kilogram"), "base base_activity active_mass"),
    _in("base_wanted", "mass of base that is wanted", "1 mg", r.quantity("mg", kg="kilogram"), "base_dose"),
    _in("salt_wanted", "mass of salt that is wanted", "1 mg", r.quantity("mg", kg="kilogram"), "salt_dose"),
    _in(
        "salt_molar_mass",
        "mass of one mole of the salt",
        "576.7 g/mol",
        r.quantity("g/mol", one="g/mol"),
        "hydrate_molar_mass",
    ),
    _in(
        "base_molar_mass",
        "mass of one mole of the base",
        "239.31 g/mol",
        r.quantity("g/mol", one="g/mol"),
        "anhydrous_molar_mass",
    ),
    _in("base_per_salt", "moles of base in one mole of salt", "2", r.number, "bases_per_salt"),
    _in("potency", "a stated relation of base to salt", "600 mcg base per mg salt", r.pair),
    _in("salt_per_base", "salt for one part of base", "1.2", r.number, "salt_factor"),
    _in("units", "an amount in units", "1,000,000 units", r.quantity("unit", one="unit"), "iu IU activity"),
    _in("iu_per_mg", "units in 1 mg", "12500", r.quantity("unit/mg", one="unit/mg"), "units_per_mg"),
    _in(
        "mg_per_million_iu",
        "mg for one million units",
        "80",
        r.quantity("mg", one="mg"),
        "mg_per_million_units mass_per_million_iu base_per_million_iu salt_per_million_iu",
    ),
    # delivery, supply
    _in(
        "inhaled",
        "the mass that is inhaled",
        "575 mcg",
        r.quantity("mg", kg="kilogram"),
        "delivered inhaled_mass emitted lung_dose",
    ),
    _in(
        "nominal",
        "the mass that is put in",
        "2500 mcg",
        r.quantity("mg", kg="kilogram"),
        "nominal_dose loaded loading_dose",
    ),
    _in(
        "delivered_share",
        "the part of the nominal dose that is inhaled",
        "23 %",
        r.number,
        "delivered_percent percent fraction",
    ),
    _in(
        "total",
        "all there is",
        "200 puffs, 10 g, 1000 units, 120 mL",
        r.counted,
        "supply quantity total_amount package",
    ),
    _in("per_day", "what is used in a day", "4 puffs, 35 units, 2 mL", r.counted, "daily daily_use per_day_amount"),
    _in("doses", "a number of doses", "30", r.counted, "number_of_doses count"),
    # gases
    _in("pressure", "pressure on the gauge", "2000 psi", r.quantity("psi", "bar", one="psi"), "gauge gauge_pressure"),
    _in(
        "factor",
        "litres of gas for each psi of this size",
        "0.16 L/psi",
        r.quantity("L/psi", "L/bar", "", one="1"),
        "tank_factor cylinder_factor",
    ),
    _in(
        "reserve",
        "pressure that is left in the cylinder",
        "200 psi",
        r.quantity("psi", "bar", one="psi"),
        "residual safe_residual reserve_pressure",
    ),
    _in("full_volume", "gas in a full cylinder", "660 L", r.quantity("L"), "capacity"),
    _in(
        "full_pressure",
        "pressure of a full cylinder",
        "1900 psi",
        r.quantity("psi", "bar", one="psi"),
        "service_pressure",
    ),
    _in("cubic_feet", "cubic feet of gas in a full cylinder", "244", r.number, "full_cubic_feet"),
    _in(
        "litres_per_cubic_foot",
        "litres taken for one cubic foot",
        "28.3",
        r.quantity("L", one="L"),
        "liters_per_cubic_foot",
    ),
    _in(
        "water_volume",
        "water capacity of the cylinder: litres of gas for each bar",
        "10 L",
        r.quantity("L"),
        "water_capacity",
    ),
    _in("contents", "gas that is there to use", "288 L", r.quantity("L"), "usable_volume gas_volume"),
    _in("flow", "flow of gas", "6 L/min", r.quantity("L/min", one="L/min"), "flow_rate"),
    _in("duration", "how long it lasts", "140 min", r.quantity("min")),
    _in("liquid_mass", "mass of liquid oxygen", "80 lb", r.quantity("lb"), "liquid_weight"),
    _in("liquid_volume", "volume of liquid oxygen", "32 L", r.quantity("L")),
    _in(
        "lb_per_litre",
        "pounds of one litre of liquid oxygen",
        "2.5",
        r.quantity("lb/L", one="lb/L"),
        "lb_per_liter lb_per_L",
    ),
    _in("expansion", "litres of gas from one litre of liquid", "860", r.number, "expansion_ratio gas_per_liquid"),
    _in(
        "gas_per_lb",
        "litres of gas from one pound of liquid",
        "344",
        r.quantity("L/lb", one="L/lb"),
        "litres_per_lb liters_per_lb",
    ),
    _in("hours_per_day", "hours of use in a day", "8", r.quantity("h", "h/day", one="h"), "use_per_day"),
    _in(
        "indicated",
        "flow that the meter shows",
        "10 L/min",
        r.quantity("L/min", one="L/min"),
        "indicated_flow set_flow meter",
    ),
    _in(
        "actual",
        "true flow of the gas",
        "18 L/min",
        r.quantity("L/min", one="L/min"),
        "actual_flow desired_flow wanted_flow",
    ),
    _in("air", "flow of air", "10 L/min", r.quantity("L/min", one="L/min"), "air_flow"),
    _in("oxygen", "flow of oxygen", "6 L/min", r.quantity("L/min", one="L/min"), "oxygen_flow o2"),
    _in("total_flow", "flow of the mixture", "16 L/min", r.quantity("L/min", one="L/min")),
    _in("air_fraction", "oxygen in air, as a fraction", "0.21", r.number),
    _in(
        "oxygen_fraction",
        "oxygen in the mixture, as a fraction or a percent",
        "40 %",
        r.number,
        "fio2 target_fraction oxygen_percent",
    ),
    # days
    _in("opened", "the day of opening", "2026-03-15", r.text, "opening_date first_opened"),
    _in("period", "how long it may be used", "28 days", r.text, "limit in_use in_use_period"),
    _in("printed_expiry", "the expiry as printed", "03/2023, 2023-03-31", r.text, "expiry expiry_date printed"),
    _in("start", "when preparing began", "2026-11-25 22:15", r.text, "started start_time"),
)

INPUTS: dict[str, Input] = {one.name: one for one in _ALL}
"""Inputs by name."""

OTHER_NAMES: dict[str, str] = {other: one.name for one in _ALL for other in one.also}
"""Other names to the name."""
