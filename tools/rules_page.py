"""Write the register of rules into docs/reference/rules.md, between its marks.

Usage: python -m tools.rules_page [--check]     with --check nothing is written, and a page that is out of date fails

The column of tests names the files in which the finding stands that a rule is computed by; of a rule that no finding computes,
the file in which it is tried both ways itself.
"""

import re
import sys
from collections import Counter
from collections.abc import Callable
from functools import partial
from html import escape
from pathlib import Path

from drawndose.reference import How, Source, load
from drawndose.reference.conflict import Conflict
from drawndose.reference.rule_text import Kept, Part, RuleText, Section, Sure
from tools import generated
from tools.generated import keep

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs/reference/rules.md"
OF_PRACTICE = "both/of_practice.py"
BOOK = load()
RULES = tuple(BOOK.rules.values())


def proving(folder: Path) -> dict[str, tuple[str, ...]]:
    """Rule id to the test files in which a finding that computes it is named, or the rule itself, in quotation marks."""
    names = ("test_*.py", "planted.py", "correct.py", "of_*.py")
    files = sorted(path for name in names for path in folder.rglob(name))
    texts = {path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8") for path in files}
    texts.pop("house/test_every_rule_is_proved.py", None)  # it lists them all
    return {
        rule.id: tuple(
            path
            for path, text in texts.items()
            if any(re.search(rf"[\"']{re.escape(name)}[\"']", text) for name in _names(rule, path))
        )
        for rule in RULES
    }


def _names(rule: RuleText, path: str) -> tuple[str, ...]:
    """What a test of the rule names: the findings that compute it; in one file the rule."""
    if path == OF_PRACTICE:
        return (rule.id,)
    return tuple(keeper.name for keeper in rule.kept_by if keeper.part is Part.RULE)


def counts() -> str:
    """How many rules there are, how they are kept, how surely they were read, and whether anything is still to be built."""
    kept, level = Counter(rule.kept for rule in RULES), Counter(rule.level for rule in RULES)
    how = Counter(rule.how for rule in RULES)
    keepers = [keeper for rule in RULES for keeper in rule.kept_by]
    to_build = sum(not keeper.built for keeper in keepers)
    return "\n".join(
        (
            f"**{len(RULES)} accounted for**: {kept[Kept.COMPUTED]} computed, {kept[Kept.ASKED]} asked, {kept[Kept.SHOWN]} "
            f"shown, {kept[Kept.SETTING]} settings, {kept[Kept.NOT_APPLICABLE]} not applicable.",
            "",
            f"- Level: {', '.join(f'{number} {one.value}' for one, number in level.items())}.",
            f"- How sure: {how[Sure.READ]} read, {how[Sure.SECONDARY]} in another's summary, {how[Sure.PART]} partly read, "
            f"{how[Sure.MEMORY]} from memory, {how[Sure.DERIVED]} our own reasoning. Of all of them "
            f"{sum(rule.low_confidence for rule in RULES)} rest only on copies read elsewhere (low confidence).",
            f"- What keeps them: {len(keepers)} parts, each looked up by a test; {to_build or 'none'} of them still to be built.",
        )
    )


def rules(tests: dict[str, tuple[str, ...]]) -> str:
    """A table for each section."""
    head = [
        "rule, level, how sure",
        "asks, and requires",
        "kept, and by what",
        "sources",
        *(["tests"] if tests else []),
    ]
    lines = []
    for section in Section:
        mine = [rule for rule in RULES if rule.section is section]
        lines += [f"### {section.value.capitalize()}", "", f"| {' | '.join(head)} |", f"|{'---|' * len(head)}"]
        lines += [_row(rule, tests) for rule in mine]
        lines.append("")
    return "\n".join(lines).rstrip()


def _row(rule: RuleText, tests: dict[str, tuple[str, ...]]) -> str:
    keepers = "".join(f"<br>{escape(str(one), quote=False)}" for one in rule.kept_by)
    note = f"<br>*{escape(rule.note, quote=False)}*" if rule.note else ""
    sure = rule.how.value + (", low confidence" if rule.low_confidence else "")
    why = f": {escape(rule.kept_why, quote=False)}" if rule.kept_why else ""
    cells = [
        f"`{rule.id}`<br>{rule.level.value}; {sure}",
        f"**{escape(rule.asks, quote=False)}** {escape(rule.requires, quote=False)}{note}",
        f"**{rule.kept.value}**{keepers}{why}",
        "<br>".join(f"`{ident}` ({_read(BOOK.sources[ident])})" for ident in rule.sources) + _at(rule),
        *(["<br>".join(f"`{path}`" for path in tests.get(rule.id, ()))] if tests else []),
    ]
    return f"| {' | '.join(cells)} |"


def _at(rule: RuleText) -> str:
    return f"<br>{rule.at}" if rule.at else ""


def _read(source: Source) -> str:
    """How a source was read, in a word or two."""
    if source.how is None:
        return "ours"
    copied = ", a copy" if source.copy and source.how is How.READ else ""
    return f"{source.how.value}{copied}"


def disagreements() -> str:
    """A table of the matters on which issuers disagree."""
    head = ["| matter | who says what | what holds here |", "|---|---|---|"]
    return "\n".join([*head, *(_matter(one) for one in BOOK.conflicts.values())])


def _matter(one: Conflict) -> str:
    sides = "<br>".join(
        f"**{escape(side.who, quote=False)}**: {escape(side.says, quote=False)} "
        f"({', '.join(f'`{ident}`' for ident in side.sources)})"
        for side in one.sides
    )
    others = [choice for choice in one.choices if choice != one.default]
    parts = [
        f"**{one.default}**." if one.default else "**No default**: the department chooses.",
        one.why,
        f"May be chosen: {'; '.join(others)}." if others else "",
        f"{one.setting}." if one.setting is not None else "",
    ]
    return f"| `{one.id}`<br>{one.matter} | {sides} | {' '.join(part for part in parts if part)} |"


def sources() -> str:
    """Every source that a rule or a side names."""
    used = {ident for rule in RULES for ident in rule.sources}
    used |= {ident for one in BOOK.conflicts.values() for side in one.sides for ident in side.sources}
    rows = [_source(BOOK.sources[ident]) for ident in sorted(used)]
    return "\n".join(["| id | title | kind | how it was read |", "|---|---|---|---|", *rows])


def _source(one: Source) -> str:
    title = escape(one.title, quote=False)
    linked = f"[{title}]({one.address})" if one.address else title
    return f"| `{one.id}` | {linked} | {one.kind} | {_read(one)} |"


def filled(page: str, tests: dict[str, tuple[str, ...]]) -> str:
    """The page with every part between its marks."""
    parts: dict[str, Callable[[], str]] = {
        "counts": counts,
        "rules": partial(rules, tests),
        "disagreements": disagreements,
        "sources": sources,
    }
    return generated.filled(page, parts)


def main(words: list[str]) -> int:
    """Write or check; 1 when the page was out of date and only checked."""
    return keep({PAGE: filled(PAGE.read_text(encoding="utf-8"), proving(ROOT / "tests"))}, words)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
