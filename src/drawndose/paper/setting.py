"""One document in typst: laid out once, asked about its layout, written as PDF and as PNG."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Any

from drawndose.quantities import Fault, Refused

TYPE = Path(__file__).with_name("type")  # B612 of the pages, and DejaVu Sans for the letters that it lacks
MM_PER_INCH = 25.4
UNDATED = "#set document(date: none)\n"  # a date in the file would be that of the machine, and differ each time


def _typst() -> Any:
    """The package typst, which only paper needs. Refused when it is not installed."""
    try:
        return import_module("typst")
    except ImportError as error:
        rule = "a PDF or PNG needs the package typst, which is not installed"
        accepted = 'pip install "drawndose[paper]"'
        raise Refused([Fault(field="paper", rule=rule, came=str(error), accepted=accepted)]) from error


@cache
def _fonts() -> Any:
    return _typst().Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(TYPE)])


class Setting:
    """A document: our own source, and values that stand in it as `sys.inputs`. Refused when typst is not installed.

    The source is one of the package's own and is the only thing that is read as typst. It can reach the folder of the
    type and nothing else.
    """

    def __init__(self, source: str, values: Mapping[str, str]) -> None:
        self._typst, self._source, self._values = _typst(), f"{UNDATED}{source}".encode(), dict(values)

    def _compiler(self) -> Any:
        """A compiler for one question: it forgets a source that it did not read from a file."""
        return self._typst.Compiler(
            self._source,
            root=str(TYPE),
            font_paths=_fonts(),
            ignore_system_fonts=True,
            sys_inputs=self._values,
            package_path=str(TYPE),  # no package lies there
            package_cache_path=str(TYPE),
        )

    def pdf(self) -> bytes:
        """The document as PDF, tagged for a screen reader. Without a date in it: the same pages are the same file."""
        made = self._compiler().compile(format="pdf")
        assert isinstance(made, bytes)
        return made

    def png(self, dots_per_mm: float) -> tuple[bytes, ...]:
        """Every page as PNG, from the same layout as the PDF."""
        made = self._compiler().compile(format="png", ppi=dots_per_mm * MM_PER_INCH)
        return tuple(made) if isinstance(made, list) else (made,)

    def told(self, name: str) -> list[Any]:
        """What the source says of its own layout: the values of its metadata under this name."""
        found: list[Any] = json.loads(self._compiler().query(f"<{name}>", field="value"))
        return found
