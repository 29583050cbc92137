"""Write the table of sums into docs/reference/sums.md, between its two marks.

Usage: python -m tools.sums_table [--check]     with --check nothing is written, and a page that is out of date fails
"""

import sys
from pathlib import Path

from drawndose.bench.sums import KINDS
from drawndose.bench.sums.inputs import INPUTS
from tools import generated
from tools.generated import keep

PAGE = Path(__file__).parents[1] / "docs/reference/sums.md"


def kinds_table() -> str:
    """One row for each kind."""
    rows = [
        f"| `{kind}` | {this.title} | {this.asks} | {', '.join(f'`{one.name}`' for one in this.inputs)} |"
        for kind, this in KINDS.items()
    ]
    return "\n".join(["| kind | title | finds | may be given |", "|---|---|---|---|", *rows])


def inputs_table() -> str:
    """One row for each input."""
    rows = [
        f"| `{name}` | {one.meaning} | {one.accepts} | {', '.join(f'`{other}`' for other in one.also)} |"
        for name, one in INPUTS.items()
    ]
    return "\n".join(["| input | what it is | such as | other names |", "|---|---|---|---|", *rows])


PARTS = {"kinds": kinds_table, "inputs": inputs_table}


def filled(page: str) -> str:
    """The page with every part between its marks."""
    return generated.filled(page, PARTS)


def main(words: list[str]) -> int:
    """Write or check; 1 when the page was out of date and only checked."""
    return keep({PAGE: filled(PAGE.read_text(encoding="utf-8"))}, words)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
