"""Published rules of safe practice, each in our own words with its sources, how surely it was read, and what keeps it.

The register speaks of what must be so; the checks themselves are code. A test holds the two together.
"""

from dataclasses import dataclass
from enum import Enum

from drawndose.quantities import Quantity
from drawndose.reference.presentation import Container
from drawndose.reference.table import Table


class Section(Enum):
    """What part of the work a rule belongs to: one file each."""

    CONTAINER_LIFE = "container life"
    TECHNIQUE = "technique"
    LABELS = "labels"
    CHECKS = "checks"
    WASTE = "waste"
    RECORDS = "records"
    CODES = "codes"
    EXCHANGE = "exchange"


class Gravity(Enum):
    """How grave it is not to keep the rule, in the words of the findings."""

    STOP = "stop"
    CAUTION = "caution"
    NOTE = "note"


class Who(Enum):
    """Whose act the rule governs; TOOL is this program."""

    PREPARER = "preparer"
    GIVER = "giver"
    SECOND_CHECKER = "second checker"
    MANAGER = "manager"
    INSTRUCTOR = "instructor"
    ANYONE = "anyone"
    TOOL = "tool"


class Sure(Enum):
    """How surely a rule was read. MEMORY: nothing confirms it yet. DERIVED: reasoned in this house, never a citation."""

    READ = "read"
    SECONDARY = "secondary"
    PART = "part"
    MEMORY = "from memory"
    DERIVED = "derived"


class Kept(Enum):
    """How the tool keeps a rule: it works it out, asks a person, shows it, has it as a setting, or has no place for it."""

    COMPUTED = "computed"
    ASKED = "asked"
    SHOWN = "shown"
    SETTING = "setting"
    NOT_APPLICABLE = "not applicable"


class Part(Enum):
    """The kinds of parts of the tool that keep a rule."""

    RULE = "rule"
    STEP = "step"
    LABEL = "label"
    SETTING = "setting"
    ORDER = "order"
    PLAN = "plan"
    SUM = "sum"
    CATALOGUE = "catalogue"
    CODES = "codes"
    RECORD = "record"
    PAGE = "page"
    EXCHANGE = "exchange"


@dataclass(frozen=True, slots=True, kw_only=True)
class Keeper:
    """One part that keeps a rule: its kind, its name among its kind, and whether it stands already."""

    part: Part
    name: str
    built: bool

    def __str__(self) -> str:
        """As it is written in the file: `to build: rule: in-use-life-passed`."""
        return f"{'' if self.built else TO_BUILD}{self.part.value}: {self.name}"


TO_BUILD = "to build: "


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleNumber:
    """A number that a rule carries: as printed, as a quantity where our units know it, and what it means."""

    text: str
    quantity: Quantity | None
    means: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleText:
    """One rule.

    asks: its question. when: when it applies. requires: what must be so, as one instruction. needs: what must be known
    to check it. containers: the kinds it is about, all of them for "any", none for a rule that is about no container.
    at: the clause, where one is known. low_confidence: every source that was seen is a copy read elsewhere.
    """

    id: str
    section: Section
    level: Gravity
    asks: str
    when: str
    requires: str
    needs: tuple[str, ...]
    containers: tuple[Container, ...]
    who: Who
    numbers: tuple[RuleNumber, ...]
    sources: tuple[str, ...]
    at: str
    how: Sure
    low_confidence: bool
    note: str
    kept: Kept
    kept_by: tuple[Keeper, ...]
    kept_why: str


def take_rules(table: Table) -> tuple[RuleText, ...]:
    """Every rule of one section's file."""
    section = table.choice("section", Section)
    rules = tuple(_rule(one, section) for one in table.tables("rule"))
    table.done()
    return rules


def _rule(table: Table, section: Section) -> RuleText:
    made = RuleText(
        id=table.text("id"),
        section=section,
        level=table.choice("level", Gravity),
        asks=table.text("asks"),
        when=table.text("when"),
        requires=table.text("requires"),
        needs=table.texts("needs"),
        containers=_containers(table),
        who=table.choice("who", Who),
        numbers=tuple(_number(one) for one in table.tables("numbers")),
        sources=table.texts("sources"),
        at=table.text("at", ""),
        how=table.choice("how", Sure),
        low_confidence=table.truth("low_confidence", False),
        note=table.text("note", ""),
        kept=table.choice("kept", Kept),
        kept_by=tuple(keeper for text in table.texts("kept_by") if (keeper := take_keeper(table, "kept_by", text))),
        kept_why=table.text("kept_why", ""),
    )
    _whole(made, table)
    table.done()
    return made


def _whole(made: RuleText, table: Table) -> None:
    """What a rule must have beyond the kinds of its values."""
    if not made.asks.endswith("?"):
        table.fault("asks", "a question is wanted", made.asks, "one sentence that ends in ?")
    if not made.sources:
        table.fault(
            "sources", "a rule names its sources", "none", "ids of sources; house-reasoning where none is published"
        )
    unkept = made.kept is Kept.NOT_APPLICABLE
    if unkept and not made.kept_why:
        table.fault("kept_why", "a rule that is not kept says why", "nothing", "one sentence")
    if unkept is bool(made.kept_by):
        table.fault(
            "kept_by", "what is kept names what keeps it, and what is not names nothing", made.kept.value, _FORM
        )


def _containers(table: Table) -> tuple[Container, ...]:
    words = table.texts("containers")
    if words == ("any",):
        return tuple(Container)
    known = {one.value: one for one in Container}
    for word in words:
        if word not in known:
            table.fault("containers", "a kind of container is wanted", word, f"any alone, {', '.join(known)}")
    return tuple(known[word] for word in words if word in known)


def _number(table: Table) -> RuleNumber:
    """A number is a quantity that our units know (`value`), or a count, a code or a temperature in words (`said`)."""
    quantity = table.quantity("value", "")
    text = table.text("value" if table.has("value") else "said")
    made = RuleNumber(text=text, quantity=quantity, means=table.text("means"))
    table.done()
    return made


_FORM = (
    f"{', '.join(part.value for part in Part)}: and a name; before it {TO_BUILD.strip()} where it does not stand yet"
)


def take_keeper(table: Table, key: str, text: str) -> Keeper | None:
    """A keeper out of `rule: fill-over-cup` or `to build: setting: bottle_life`; a fault of this key, and None, otherwise."""
    word, colon, name = text.removeprefix(TO_BUILD).partition(": ")
    part = next((one for one in Part if one.value == word), None)
    if part is None or not colon or not name.strip():
        table.fault(key, "a part of the tool and its name are wanted", text, _FORM)
        return None
    return Keeper(part=part, name=name, built=not text.startswith(TO_BUILD))
