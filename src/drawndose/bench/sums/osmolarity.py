"""Ideal osmolarity: moles in a litre × particles that each gives; measured values are lower, by the osmotic coefficient."""

from drawndose.bench.sums.quantity_words import bare, over, plus, same, times
from drawndose.bench.sums.working import Family, Rule, Slip, Want
from drawndose.quantities import Quantity, unit


def _osmoles(moles: Quantity, particles: Quantity) -> Quantity:
    """mOsm in a litre, or mOsm."""
    if moles.dimension == (("substance", 1),):
        return Quantity(moles.to("mmol").value * particles.value, unit("mOsm"))
    return Quantity(moles.to("mmol/L").value * particles.value, unit("mOsm/L"))


_RULES = (
    Rule("conc", ("strength",), same),
    Rule("conc", ("mass", "volume"), over, "{mass} in {volume} = {conc}"),
    Rule("conc", ("mass", "final_volume"), over, "{mass} in {final_volume} = {conc}"),
    Rule(
        "molar",
        ("conc", "molar_mass"),
        lambda conc, molar: (conc / molar).to("mmol/L"),
        "{conc} ÷ {molar_mass} = {molar}",
    ),
    Rule("molar", ("molarity",), same),
    Rule(
        "molar", ("mmol", "volume"), lambda moles, volume: (moles / volume).to("mmol/L"), "{mmol} in {volume} = {molar}"
    ),
    Rule("molar", ("conc_molar",), same),
    Rule("conc_molar", ("strength",), lambda strength: strength.to("mmol/L")),
    Rule("count", ("particles",), same),
    Rule("count", ("ions",), same),
    Rule("count", ("i_factor",), same),
    Rule("count", ("particles", "osmotic_coefficient"), times, "{particles} × {osmotic_coefficient} = {count}"),
    Rule("count", ("ions", "dissociation"), lambda ions, share: plus(bare(1), share * (ions.value - 1))),
    Rule("osmolar", ("molar", "count"), _osmoles, "{molar} × {count} = {osmolar}"),
    Rule(
        "in_all",
        ("osmolar", "volume"),
        lambda osmolar, volume: (osmolar * volume).to("mOsm"),
        "{osmolar} × {volume} = {in_all}",
    ),
    Rule("in_all", ("moles", "count"), _osmoles, "{moles} × {count} = {in_all}"),
    Rule(
        "moles",
        ("mass", "molar_mass"),
        lambda mass, molar: (mass / molar).to("mmol"),
        "{mass} ÷ {molar_mass} = {moles}",
    ),
    Rule("moles", ("mmol",), same),
)
_SLIPS = (
    Slip("osmolar", "particles left out", "mmol taken for mOsm", ("molar",), lambda molar: _osmoles(molar, bare(1))),
    Slip("osmolar", "factor 10 too little", "percent read as g in a litre", ("osmolar",), lambda value: value / 10),
    Slip("osmolar", "factor 1000", "Osm taken for mOsm", ("osmolar",), lambda value: value / 1000),
)

KINDS = (
    Family(_RULES, _SLIPS).kind(
        "osmolarity",
        "Osmolarity",
        "the ideal osmolarity",
        Want("osmolar", "osmolarity", ("mOsm/L",)),
        Want("in_all", "milliosmoles", ("mOsm",), ("milliosmoles", "number of mosm", "mosm in")),
    ),
)
