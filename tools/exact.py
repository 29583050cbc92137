"""Hold the exact storeys to exactness: what the import contracts cannot see, read from the syntax itself.

It cannot see a division of two ints, which makes a float without naming one; strict mypy can, because such a result
does not fit where an int or a Fraction is declared.
"""

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

STOREYS = ("quantities", "reference", "bench")

# A list of what is allowed, because a list of what is forbidden would miss the module nobody thought of.
LIBRARY = {
    *("__future__", "abc", "collections", "dataclasses", "datetime", "decimal", "enum", "fractions", "functools"),
    *("html", "itertools", "operator", "re", "string", "textwrap", "types", "typing", "unicodedata"),
    "difflib",  # which words are alike, for a refusal to offer; no amount goes through it
    "drawndose",  # which of its storeys, the layers contract says
}
FILES = {"importlib.resources", "pathlib", "tomllib"}
ALLOWED = {"quantities": LIBRARY, "reference": LIBRARY | FILES, "bench": LIBRARY}

INEXACT = {"float", "complex"}
DOORS_ONLY = {"__import__", "breakpoint", "eval", "exec", "input", "open", "print"}
CLOCK = {"now", "today", "utcnow"}


def faults(source: str, storey: str) -> Iterator[tuple[int, str]]:
    """Yield the line and the nature of each fault in the source text of one file."""
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.Constant(value=float() | complex()):
                yield node.lineno, f"float literal {node.value!r}"
            case ast.Name(id=name) if name in INEXACT:
                yield node.lineno, f"name {name}"
            case ast.Name(id=name) if name in DOORS_ONLY:
                yield node.lineno, f"{name} belongs to the doors"
            case ast.Call(func=ast.Attribute(attr=verb, value=ast.Name(id=kind) | ast.Attribute(attr=kind))) if (
                verb in CLOCK and kind in {"date", "datetime"}
            ):
                yield node.lineno, f"{kind}.{verb}() reads the clock; a time is an argument here"
            case ast.Import(names=names):
                yield from _imports(node.lineno, [alias.name for alias in names], storey)
            case ast.ImportFrom(module=str(module), names=names, level=0):
                yield from _imports(node.lineno, [f"{module}.{alias.name}" for alias in names], storey)


def _imports(line: int, names: list[str], storey: str) -> Iterator[tuple[int, str]]:
    for name in names:
        parts = name.split(".")
        if ALLOWED[storey].isdisjoint(".".join(parts[:end]) for end in range(1, len(parts) + 1)):
            yield line, f"import of {name}, which is not on the list for {storey}"


def main(package: Path) -> int:
    """Print the faults of every file in the exact storeys and return how many there are."""
    found = [
        f"{path}:{line}: {what}"
        for storey in STOREYS
        for path in sorted((package / storey).rglob("*.py"))
        for line, what in sorted(faults(path.read_text(encoding="utf-8"), storey))
    ]
    for fault in found:
        print(fault)
    return len(found)


if __name__ == "__main__":
    sys.exit(main(Path(__file__).parents[1] / "src/drawndose") > 0)
