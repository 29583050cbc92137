"""Write the tables of docs/reference/department.md, between their marks: verbs, settings, policy, the columns of lists, metrics.

Usage: python -m tools.department_page [--check]     with --check nothing is written, and a page that is out of date fails
"""

import os
import sys
from collections.abc import Callable
from pathlib import Path

from drawndose.cli.department import VERBS
from drawndose.department.chosen import OPTIONS
from tools import generated
from tools.generated import keep

PAGE = Path(__file__).parents[1] / "docs/reference/department.md"


def verbs() -> str:
    """One row for each verb."""
    rows = [f"| `drawndose department {verb}` | {line} |" for verb, line in VERBS.items()]
    return "\n".join(["| verb | what it does |", "|---|---|", *rows])


def settings() -> str:
    """One row for each setting."""
    rows = [f"| `{one.name}` | {one.means} | {one.accepts} | {one.without} |" for one in OPTIONS]
    return "\n".join(["| setting | meaning | accepted | without it |", "|---|---|---|---|", *rows])


def policy() -> str:
    """One row for each setting of the policy."""
    _django()
    from drawndose.department.work.policy import CHOICES, defaults, shown

    shipped = defaults()
    rows = [
        f"| `{one.name}` | {one.means} | {one.effect} | {shown(one.name, shipped[one.name])} | {one.accepts} | {one.source} |"
        for one in CHOICES
    ]
    return "\n".join(["| name | meaning | effect | as shipped | accepted | from |", "|---|---|---|---|---|---|", *rows])


def lists() -> str:
    """One table for each list."""
    _django()
    from drawndose.department.keeping.lists import LISTS

    found = []
    for name, this in LISTS.items():
        rows = [
            f"| `{one.name}` | {one.means} | {one.accepts} | {'' if one.needed else 'may be left out'} |"
            for one in this.columns
        ]
        head = f"**{name}**, by a person who may {this.right.value}:"
        found.append("\n".join([head, "", "| column | meaning | such as | |", "|---|---|---|---|", *rows]))
    return "\n\n".join(found)


def metrics() -> str:
    """One row for each family of metrics that has a state."""
    _django()
    from drawndose.department.keeping.health import COUNTED

    rows = [
        f"| `drawndose_{name}` | `state`: {', '.join(state for state in table if state)} |"
        for name, _, table in COUNTED
    ]
    return "\n".join(["| gauge | its label |", "|---|---|", *rows])


PARTS: dict[str, Callable[[], str]] = {
    "verbs": verbs,
    "settings": settings,
    "policy": policy,
    "lists": lists,
    "metrics": metrics,
}


def _django() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "drawndose.department.settings")
    import django

    django.setup()


def filled(page: str) -> str:
    """The page with every part between its marks."""
    return generated.filled(page, PARTS)


def main(words: list[str]) -> int:
    """Write or check; 1 when the page was out of date and only checked."""
    return keep({PAGE: filled(PAGE.read_text(encoding="utf-8"))}, words)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
