"""Where issuers disagree: who says what, what a department may choose, and what this house takes until it does."""

from dataclasses import dataclass

from drawndose.reference.rule_text import Keeper, Part, take_keeper
from drawndose.reference.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """What one side says, and where."""

    who: str
    says: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """One matter on which issuers disagree.

    choices: what may be chosen; a single one where the house follows every side. default: the choice in force until a
    department makes its own, empty where there must be none. setting: what carries the choice, or None where it is fixed.
    """

    id: str
    matter: str
    sides: tuple[Side, ...]
    choices: tuple[str, ...]
    default: str
    why: str
    setting: Keeper | None


def take_conflicts(table: Table) -> tuple[Conflict, ...]:
    """Every conflict of the file."""
    conflicts = tuple(_conflict(one) for one in table.tables("conflict"))
    table.done()
    return conflicts


def _conflict(table: Table) -> Conflict:
    text = table.text("setting", "")
    made = Conflict(
        id=table.text("id"),
        matter=table.text("matter"),
        sides=tuple(_side(one) for one in table.tables("side")),
        choices=table.texts("choices"),
        default=table.text("default") if table.raw("default") != "" else "",
        why=table.text("why"),
        setting=take_keeper(table, "setting", text) if text else None,
    )
    if len(made.sides) < 2:
        table.fault("side", "a conflict has two sides or more", f"{len(made.sides)}", "[[conflict.side]]")
    if not made.choices:
        table.fault("choices", "what may be chosen is wanted", "none", '["...", "..."]')
    if made.default and made.default not in made.choices:
        table.fault("default", "the default is one of the choices, or empty", made.default, ", ".join(made.choices))
    if made.setting is not None and made.setting.part is not Part.SETTING:
        table.fault("setting", "a conflict is settled by a setting", text, "setting: start_within")
    if made.setting is None and made.default == "":
        table.fault("setting", "without a default there must be a setting", "none", "setting: and its name")
    table.done()
    return made


def _side(table: Table) -> Side:
    made = Side(who=table.text("who"), says=table.text("says"), sources=table.texts("sources"))
    if not made.sources:
        table.fault("sources", "a side names its sources", "none", "ids of sources")
    table.done()
    return made
