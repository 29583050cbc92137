"""Files and functions stay small enough to be read at one sitting."""

import ast
from pathlib import Path

ROOT = Path(__file__).parents[2]
FILES = sorted(path for folder in ("src", "tools", "perf") for path in (ROOT / folder).rglob("*.py"))
FILE, FUNCTION = 400, 40


def too_long(source: str) -> list[str]:
    """Name what is over the limit: the file, or a function whose body without its docstring is."""
    found = [f"file of {lines} lines"] if (lines := len(source.splitlines())) > FILE else []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            body = node.body[1:] if ast.get_docstring(node) else node.body
            if body and (lines := node.end_lineno - body[0].lineno + 1) > FUNCTION:
                found.append(f"{node.name} of {lines} lines")
    return found


def test_planted_length_is_caught() -> None:
    assert too_long("x = 1\n" * 401) == ["file of 401 lines"]
    assert too_long("def f():\n" + "    x = 1\n" * 41) == ["f of 41 lines"]
    assert too_long('def f():\n    """One.\n\n    Two.\n    """\n' + "    x = 1\n" * 40) == []


def test_every_file_and_function_is_small() -> None:
    long = {path.relative_to(ROOT).as_posix(): too_long(path.read_text(encoding="utf-8")) for path in FILES}
    assert {path: found for path, found in long.items() if found} == {}
