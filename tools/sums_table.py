"""Write the table of sums into docs/reference/sums.md, between its two marks.

Usage: python tools/sums_table.py [--check]     with --check nothing is written, and a page that is out of date fails
"""

import sys
from pathlib import Path

from drawndose.bench.sums import KINDS
from drawndose.bench.sums.inputs import INPUTS

PAGE = Path(__file__).parents[1] / "docs/reference/sums.md"
MARKS = ("<!-- kinds -->", "<!-- end of kinds -->", "<!-- inputs -->", "<!-- end of inputs -->")


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


def filled(page: str) -> str:
    """The page with both tables between their marks."""
    for begin, end, table in ((*MARKS[:2], kinds_table()), (*MARKS[2:], inputs_table())):
        before, _, rest = page.partition(begin)
        after = rest.partition(end)[2]
        page = f"{before}{begin}\n{table}\n{end}{after}"
    return page


def main(words: list[str]) -> int:
    """Write or check; 1 when the page was out of date and only checked."""
    page = PAGE.read_text(encoding="utf-8")
    new = filled(page)
    if "--check" in words:
        return 0 if new == page else 1
    PAGE.write_text(new, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
