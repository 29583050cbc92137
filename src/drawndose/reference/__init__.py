"""What is printed somewhere, and where: presentations, instruments, techniques, sources. Data in TOML, one loader."""

from drawndose.reference.catalogue import Catalogue, load, read_instruments
from drawndose.reference.drug import Drug, Equivalence, Moiety
from drawndose.reference.instrument import Cup, Instrument, Instruments, Kind, Tolerance
from drawndose.reference.needle import Excess, Needle
from drawndose.reference.presentation import (
    Active,
    ByNebulizer,
    Carried,
    Container,
    Dilution,
    DilutionRule,
    Life,
    Note,
    Pack,
    Presentation,
    PublishedDose,
    Reconstitution,
)
from drawndose.reference.provenance import How, Origin, Source, Statement
from drawndose.reference.technique import Phase, Technique, TechniqueStep, When

__all__ = [
    "Active",
    "ByNebulizer",
    "Carried",
    "Catalogue",
    "Container",
    "Cup",
    "Dilution",
    "DilutionRule",
    "Drug",
    "Equivalence",
    "Excess",
    "How",
    "Instrument",
    "Instruments",
    "Kind",
    "Life",
    "Moiety",
    "Needle",
    "Note",
    "Origin",
    "Pack",
    "Phase",
    "Presentation",
    "PublishedDose",
    "Reconstitution",
    "Source",
    "Statement",
    "Technique",
    "TechniqueStep",
    "Tolerance",
    "When",
    "load",
    "read_instruments",
]
