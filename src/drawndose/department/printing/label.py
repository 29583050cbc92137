"""What every label is: lines across it, lines beside its code, and the code. Set at a size, it fits or says what is missing."""

from __future__ import annotations

from dataclasses import dataclass

from drawndose.department.printing.matrix import matrix
from drawndose.department.printing.size import Size
from drawndose.paper import held, letter_faults
from drawndose.quantities import Fault, gather

FOR_INHALATION = "For inhalation only, not for injection"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One text of a label, by its name; a line of the label, or several where it is long."""

    name: str
    text: str
    bold: bool = False
    large: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A label before it has a size. code: what its DataMatrix says; no matrix without one.

    Refused for a text that is empty or cannot be printed.
    """

    kind: str
    lines: tuple[Line, ...]
    beside: tuple[Line, ...] = ()
    code: str = ""

    def __post_init__(self) -> None:
        texts = [*((line.name, line.text) for line in (*self.lines, *self.beside)), ("code", self.code)]
        faults = [fault for name, text in texts for fault in letter_faults(text, name)]
        empty = [line.name for line in (*self.lines, *self.beside) if not line.text.strip()]
        article = "an" if self.kind[:1] in "aeiou" else "a"
        rule = f"{article} {self.kind} label says this"
        gather([*(Fault(field=name, rule=rule, came="", accepted="its text") for name in empty), *faults])

    @property
    def words(self) -> tuple[str, ...]:
        """Everything that is printed, as text."""
        return (*(line.text for line in (*self.lines, *self.beside)), *([self.code] if self.code else []))


def face(label: Label, size: Size, x: float = 0, y: float = 0, *, framed: bool = False) -> dict[str, object]:
    """A label at a size and place, as the values of the page's source."""
    symbol = matrix(label.code) if label.code else None
    head, dot, check = label.code.partition(".")
    return {
        "x": x,
        "y": y,
        "width": size.width,
        "height": size.height,
        "turned": size.turned,
        "margin": size.margin,
        "large_pt": size.large,
        "text_pt": size.text,
        "framed": framed,
        "lines": [_line(line) for line in label.lines],
        "beside": [_line(line) for line in label.beside],
        "matrix": symbol.svg if symbol is not None else "",
        "matrix_mm": symbol.side if symbol is not None else 0,
        "code": [part for part in (head + dot, check) if part],
    }


def _line(line: Line) -> dict[str, object]:
    return {"text": held(line.text), "bold": line.bold, "large": line.large}
