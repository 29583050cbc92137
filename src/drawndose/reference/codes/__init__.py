"""Codes of open standards: what a scanner or a person gives, read exactly or asked; and unit codes for exchange.

Each standard is one module with the same two verbs, `read` and `write`: `framing` (symbology identifier, separator),
`element_strings`, `brackets`, `digital_link`, `ndc`, `dates`, `ucum`, and `own` (a department's own list). `check_digits`,
`dictionary` and `elements` serve them; `scan` takes any text, and `meanings` says what a field means.
"""

from drawndose.reference.codes.elements import Element, Elements, element, pairing
from drawndose.reference.codes.ndc import Ndc
from drawndose.reference.codes.own import OwnProduct, known
from drawndose.reference.codes.scanning import Kind, Part, Question, Reading, Scan, scan

__all__ = [
    "Element",
    "Elements",
    "Kind",
    "Ndc",
    "OwnProduct",
    "Part",
    "Question",
    "Reading",
    "Scan",
    "element",
    "known",
    "pairing",
    "scan",
]
