"""`drawndose catalogue rules`: published rules of safe practice, how sure each is, what keeps it, and where issuers disagree."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from textwrap import wrap

from drawndose.cli.output import write_json, write_lines
from drawndose.quantities import Fault, Refused, quantity_data, show
from drawndose.reference import Catalogue, Container, How, Source
from drawndose.reference.conflict import Conflict
from drawndose.reference.rule_text import RuleNumber, RuleText, Sure

SCHEMA = "drawndose.rules/1"


def write_rules(book: Catalogue, which: str, *, as_json: bool) -> None:
    """All rules a line each, those of a section, or one rule or conflict in full. Refused when there is nothing of that name."""
    sections = {rule.section.value.replace(" ", "-") for rule in book.rules.values()}
    if not which or which in sections:
        found = [rule for rule in book.rules.values() if which in {"", rule.section.value.replace(" ", "-")}]
        if as_json:
            write_json({"schema": SCHEMA, "rules": [rule_data(rule) for rule in found]})
        else:
            write_lines(_list(found, book, conflicts=not which))
    elif which in book.rules:
        rule = book.rules[which]
        if as_json:
            write_json({"schema": SCHEMA, "rules": [rule_data(rule)]})
        else:
            write_lines(_whole(rule, book))
    elif which in book.conflicts:
        conflict = book.conflicts[which]
        if as_json:
            write_json({"schema": SCHEMA, "conflicts": [conflict_data(conflict)]})
        else:
            write_lines(_sides(conflict, book))
    else:
        accepted = f"a section ({', '.join(sorted(sections))}), or an id from `drawndose catalogue rules`"
        raise Refused([Fault(field="rules", rule="no rule, section or conflict", came=which, accepted=accepted)])


def _list(rules: list[RuleText], book: Catalogue, *, conflicts: bool) -> Iterator[str]:
    for rule in rules:
        yield f"{rule.id:42} {rule.level.value:8} {rule.kept.value:15} {rule.asks}"
    if conflicts:
        yield ""
        yield "Where issuers disagree"
        for one in book.conflicts.values():
            yield f"{one.id:42} {one.matter}"


def _whole(rule: RuleText, book: Catalogue) -> Iterator[str]:
    yield rule.asks
    facts = [
        ("id", rule.id),
        ("when", rule.when),
        ("must be so", rule.requires),
        ("level", f"{rule.level.value}; {rule.who.value}"),
        ("containers", _containers(rule)),
        ("to know", "; ".join(rule.needs)),
        *(("number", f"{show(one.quantity) if one.quantity else one.text}: {one.means}") for one in rule.numbers),
        ("how sure", sure_words(rule)),
        *(("from", source_words(book.sources[ident])) for ident in rule.sources),
        ("clause", rule.at),
        ("note", rule.note),
        ("kept", rule.kept.value),
        *(("by", str(keeper)) for keeper in rule.kept_by),
        ("why not", rule.kept_why),
    ]
    yield from _columns(facts)


def _sides(conflict: Conflict, book: Catalogue) -> Iterator[str]:
    yield conflict.matter
    facts = [("id", conflict.id)]
    for side in conflict.sides:
        facts.append(("says", f"{side.who}: {side.says}"))
        facts += [("from", source_words(book.sources[ident])) for ident in side.sources]
    facts += [("choice", one) for one in conflict.choices]
    facts.append(("here", conflict.default or "no default: the department must choose"))
    facts.append(("why", conflict.why))
    if conflict.setting is not None:
        facts.append(("by", str(conflict.setting)))
    yield from _columns(facts)


def _columns(facts: Iterable[tuple[str, str]]) -> Iterator[str]:
    """A name and its text, wrapped under each other; what has no text is left out."""
    for name, text in facts:
        first = f"  {name:11} "
        yield from wrap(text, 110, initial_indent=first, subsequent_indent=" " * len(first), break_on_hyphens=False)


def _containers(rule: RuleText) -> str:
    return "any" if set(rule.containers) == set(Container) else ", ".join(one.value for one in rule.containers)


def sure_words(rule: RuleText) -> str:
    """How surely the rule was read, in words."""
    told = {
        Sure.READ: "read in the issuer's own words",
        Sure.SECONDARY: "read in another's summary",
        Sure.PART: "partly read, partly from memory",
        Sure.MEMORY: "from memory: nothing confirms it yet; the sources are where it would stand",
        Sure.DERIVED: "our own reasoning, not a published rule",
    }[rule.how]
    return f"{told}; every source that was seen is a copy read elsewhere" if rule.low_confidence else told


def source_words(source: Source) -> str:
    """A source with how it was read."""
    if source.how is None:
        return source.title
    how = "not read, from memory" if source.how is How.MEMORY else source.how.value
    return f"{source.title} ({how}{', in a copy' if source.copy and source.how is How.READ else ''})"


def _number(one: RuleNumber) -> dict[str, object]:
    exact = {"quantity": quantity_data(one.quantity)} if one.quantity is not None else {}
    return {"text": one.text, "means": one.means, **exact}


def rule_data(rule: RuleText) -> dict[str, object]:
    """One rule as data."""
    return {
        "id": rule.id,
        "section": rule.section.value,
        "level": rule.level.value,
        "asks": rule.asks,
        "when": rule.when,
        "requires": rule.requires,
        "needs": list(rule.needs),
        "containers": [one.value for one in rule.containers],
        "who": rule.who.value,
        "numbers": [_number(one) for one in rule.numbers],
        "sources": list(rule.sources),
        "at": rule.at,
        "how": rule.how.value,
        "low_confidence": rule.low_confidence,
        "note": rule.note,
        "kept": rule.kept.value,
        "kept_by": [str(keeper) for keeper in rule.kept_by],
        "kept_why": rule.kept_why,
    }


def conflict_data(conflict: Conflict) -> dict[str, object]:
    """One conflict as data."""
    return {
        "id": conflict.id,
        "matter": conflict.matter,
        "sides": [{"who": one.who, "says": one.says, "sources": list(one.sources)} for one in conflict.sides],
        "choices": list(conflict.choices),
        "default": conflict.default,
        "why": conflict.why,
        "setting": str(conflict.setting) if conflict.setting is not None else "",
    }
