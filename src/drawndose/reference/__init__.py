"""What is printed somewhere, and where: presentations, instruments, techniques, sources. Data in TOML, one loader."""

from drawndose.reference.balance import Balance
from drawndose.reference.calibration import Calibration, Point
from drawndose.reference.catalogue import Catalogue, load, read_instruments
from drawndose.reference.contents import Excess, UnitDose
from drawndose.reference.cup import Cup
from drawndose.reference.drug import Drug, Equivalence, Moiety
from drawndose.reference.instrument import TAKES_NEEDLE, TIPS, Instrument, Kind, scales_of
from drawndose.reference.instruments import Instruments
from drawndose.reference.liquid import Acidity, Answer, Liquids, Osmotic
from drawndose.reference.misread import Misread
from drawndose.reference.mixing import ANY, Mixture, Mixtures, Verdict
from drawndose.reference.nebulizer import DrivenBy, Nebulizer, NebulizerKind, completed
from drawndose.reference.needle import Bore, Needle, NeedleKind
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
    Reconstitution,
)
from drawndose.reference.provenance import How, Origin, Source, Statement
from drawndose.reference.published import Bounds, PublishedDose
from drawndose.reference.sensitivity import Barred, Cleared, Sensitivity
from drawndose.reference.span import Span
from drawndose.reference.technique import Phase, Picture, Technique, TechniqueStep, When
from drawndose.reference.tolerance import Tolerance

__all__ = [
    "ANY",
    "TAKES_NEEDLE",
    "TIPS",
    "Acidity",
    "Active",
    "Answer",
    "Balance",
    "Barred",
    "Bore",
    "Bounds",
    "ByNebulizer",
    "Calibration",
    "Carried",
    "Catalogue",
    "Cleared",
    "Container",
    "Cup",
    "Dilution",
    "DilutionRule",
    "DrivenBy",
    "Drug",
    "Equivalence",
    "Excess",
    "How",
    "Instrument",
    "Instruments",
    "Kind",
    "Life",
    "Liquids",
    "Misread",
    "Mixture",
    "Mixtures",
    "Moiety",
    "Nebulizer",
    "NebulizerKind",
    "Needle",
    "NeedleKind",
    "Note",
    "Origin",
    "Osmotic",
    "Pack",
    "Phase",
    "Picture",
    "Point",
    "Presentation",
    "PublishedDose",
    "Reconstitution",
    "Sensitivity",
    "Source",
    "Span",
    "Statement",
    "Technique",
    "TechniqueStep",
    "Tolerance",
    "UnitDose",
    "Verdict",
    "When",
    "completed",
    "load",
    "read_instruments",
    "scales_of",
]
