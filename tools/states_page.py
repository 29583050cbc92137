"""Draw the states of orders, doses, containers, preparations, jobs and training records, and write the page that shows them, out of the tables in the code.

Usage: python -m tools.states_page [--check]     with --check nothing is written, and a picture or page that is out of date fails

A picture has one box for each state, from the top down. What can happen in a state stands in lines below its box; each line runs to the
right into the upright line of the state that it leads to, and that one runs back into its box. So no arrow has to find a way around.
"""

import sys
from html import escape
from pathlib import Path

from drawndose.department.keeping.job_states import JOB
from drawndose.department.training.states import TABLES as TRAINING
from drawndose.department.work.states import TABLES, Table
from tools import generated
from tools.generated import keep

DOCS = Path(__file__).parents[1] / "docs"
PAGE = DOCS / "reference/states.md"
DRAWN: dict[str, tuple[str, Table]] = {
    "order": ("An order", TABLES["order"]),
    "dose": ("A due dose", TABLES["dose"]),
    "container": ("A container", TABLES["container"]),
    "preparation": ("A preparation", TABLES["preparation"]),
    "job": ("Long work", JOB),
    "form": ("A form of the lab", TRAINING["form"]),
    "rule": ("A rule of the lab", TRAINING["rule"]),
    "cohort": ("A class", TRAINING["cohort"]),
    "learner": ("A learner", TRAINING["learner"]),
    "lab_day": ("A day in the lab", TRAINING["lab_day"]),
    "attempt": ("An attempt", TRAINING["attempt"]),
    "evaluation": ("An evaluator's sheet", TRAINING["evaluation"]),
    "decision": ("A decision", TRAINING["decision"]),
    "remediation": ("Practice before the next attempt", TRAINING["remediation"]),
    "sign_off": ("A sign-off", TRAINING["sign_off"]),
    "action": ("What was done about evaluators who differed", TRAINING["action"]),
}
"""Each picture: what it is of, and its table."""

LEFT, BOX, TALL, LINE, GAP = 16, 150, 30, 22, 14
TEXTS, LANE = 190, 16
"""Where what happens is written, and how far apart the upright lines are."""
INK, SOFT, WELL = "#16202a", "#6b7a88", "#f3f6f8"


def word(event: str) -> str:
    """What happened, in words."""
    return event.partition(".")[2].replace("_", " ")


def picture(what: str, table: Table) -> str:
    """The picture of a table as SVG."""
    tops = _tops(table)
    longest = max(len(word(event)) for events in table.values() for event in events)
    first = TEXTS + 8 * longest + 24
    lanes = {state: first + LANE * place for place, state in enumerate(state for state in table if state)}
    width = first + LANE * len(lanes) + 8
    height = max(tops.values()) + TALL + LINE * len(list(table.values())[-1]) + 2 * GAP
    told = f"{what}: " + "; ".join(sentence(state, events) for state, events in table.items() if events) + "."
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}" role="img" '
        f'font-family="sans-serif" font-size="14" fill="{INK}">',
        f"<title>{escape(what)}</title><desc>{escape(told)}</desc>",
        f'<rect width="{width}" height="{height}" fill="#ffffff"/>',
        *(_upright(state, table, tops, lanes[state]) for state in lanes),
        *(_box(state, tops[state], last=not table[state]) for state in lanes),
        *(line for state, events in table.items() for line in _lines(events, tops[state], lanes)),
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


def _tops(table: Table) -> dict[str, int]:
    """Where each state begins, from the top."""
    top, found = GAP, {}
    for state, events in table.items():
        found[state] = top
        top += (TALL if state else 0) + LINE * len(events) + GAP
    return found


def _rows(events: dict[str, str], top: int) -> dict[str, int]:
    """How low each line of a state stands. What begins everything has no box above its line."""
    return {event: top + LINE * place for place, event in enumerate(events)}


def _upright(state: str, table: Table, tops: dict[str, int], lane: int) -> str:
    """The upright line of a state: from every line that leads to it, to its own box."""
    home = tops[state] + TALL // 2
    ends = [home]
    for other, events in table.items():
        rows = _rows(events, tops[other] + (TALL if other else 0))
        ends += [rows[event] + LINE // 2 for event, to in events.items() if to == state]
    line = f'<path d="M{lane} {min(ends)}V{max(ends)}M{lane} {home}H{LEFT + BOX + 8}" stroke="{SOFT}" fill="none" stroke-width="1.5"/>'
    tip = LEFT + BOX
    return f'{line}\n<path d="M{tip} {home}l9 -5v10z" fill="{SOFT}"/>'


def _box(state: str, top: int, *, last: bool) -> str:
    """A state: with a double edge where nothing follows."""
    outer = f'<rect x="{LEFT}" y="{top}" width="{BOX}" height="{TALL}" rx="4" fill="{WELL}" stroke="{INK}" stroke-width="1.5"/>'
    inner = f'\n<rect x="{LEFT + 3}" y="{top + 3}" width="{BOX - 6}" height="{TALL - 6}" rx="2" fill="none" stroke="{INK}"/>'
    text = f'\n<text x="{LEFT + BOX // 2}" y="{top + 20}" text-anchor="middle" font-weight="700">{escape(state)}</text>'
    return outer + (inner if last else "") + text


def _lines(events: dict[str, str], top: int, lanes: dict[str, int]) -> list[str]:
    """What can happen: each a line of words that runs into the upright line of the state that it leads to."""
    below = top + (TALL if top > GAP else 0)
    found = []
    for event, row in _rows(events, below).items():
        middle, lane = row + LINE // 2, lanes[events[event]]
        said = word(event)
        begin = TEXTS + 8 * len(said) + 8
        found.append(f'<text x="{TEXTS}" y="{middle + 5}">{escape(said)}</text>')
        found.append(f'<path d="M{begin} {middle}H{lane}" stroke="{SOFT}" fill="none" stroke-width="1.5"/>')
        found.append(f'<circle cx="{lane}" cy="{middle}" r="3" fill="{INK}"/>')
    return found


def sentence(state: str, events: dict[str, str]) -> str:
    """One state in words: what can happen in it, and where that leads."""
    led = ", ".join(f"{word(event)} leads to {to}" for event, to in events.items())
    return f"{state or 'at first'}: {led}"


def section(name: str, what: str, table: Table) -> str:
    """The section of the page: the picture, and the same as a table."""
    rows = [
        f"| {state or '(not there yet)'} | `{event}` | {to} |"
        for state, events in table.items()
        for event, to in events.items()
    ]
    alone = [state for state, events in table.items() if not events]
    ends = f"Nothing follows on: {', '.join(alone)}." if alone else "Something may follow on each of them."
    shown = f"![{what}: states and what leads from one to the other; the table below says the same](../images/states-{name}.svg)"
    head = "| from | what happens | to |\n|---|---|---|"
    return "\n\n".join([f"## {what}", shown, "\n".join([head, *rows]), ends])


def sections() -> str:
    """Every table of states, one after the other."""
    return "\n" + "\n\n".join(section(name, what, table) for name, (what, table) in DRAWN.items()) + "\n"


def filled(page: str) -> str:
    """The page with every section between its marks."""
    return generated.filled(page, {"states": sections})


def main(words: list[str]) -> int:
    """Write or check; 1 when something was out of date and only checked."""
    new = {PAGE: filled(PAGE.read_text(encoding="utf-8"))}
    new |= {DOCS / f"images/states-{name}.svg": picture(what, table) for name, (what, table) in DRAWN.items()}
    return keep(new, words)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
