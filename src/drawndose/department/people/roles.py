"""Who may do what: one table. A person may hold several roles; a right is held when any of them has it."""

from enum import Enum


class Role(Enum):
    """What a person is in this department."""

    PREPARER = "preparer"
    CHECKER = "checker"
    GIVER = "giver"
    MANAGER = "manager"
    EVALUATOR = "evaluator"
    LEARNER = "learner"
    ADMINISTRATOR = "administrator"


class Right(Enum):
    """What can be allowed."""

    SEE_WORK = "see the board, the shelf and the records"
    ENTER_ORDERS = "enter and change orders"
    KEEP_SHELF = "receive, open, move and discard containers"
    PREPARE = "prepare a dose"
    READ_SECOND = "read as the second person"
    GIVE = "give, or say why not"
    WITNESS = "witness waste"
    SET_POLICY = "change the policy"
    SEE_DAY = "see the day report and the audit"
    MOVE_DATA = "import and export"
    KEEP_PEOPLE = "add persons and give roles"
    TEACH = "evaluate learners"
    LEARN = "be evaluated"


RIGHTS: dict[Role, frozenset[Right]] = {
    Role.PREPARER: frozenset(
        {Right.SEE_WORK, Right.ENTER_ORDERS, Right.KEEP_SHELF, Right.PREPARE, Right.GIVE, Right.WITNESS}
    ),
    Role.CHECKER: frozenset({Right.SEE_WORK, Right.READ_SECOND, Right.WITNESS}),
    Role.GIVER: frozenset({Right.SEE_WORK, Right.GIVE, Right.WITNESS}),
    Role.MANAGER: frozenset(
        {Right.SEE_WORK, Right.ENTER_ORDERS, Right.KEEP_SHELF, Right.SET_POLICY, Right.SEE_DAY, Right.MOVE_DATA}
    ),
    Role.EVALUATOR: frozenset({Right.TEACH}),
    Role.LEARNER: frozenset({Right.LEARN}),
    Role.ADMINISTRATOR: frozenset({Right.KEEP_PEOPLE, Right.SEE_DAY, Right.MOVE_DATA}),
}
"""The table of rights. docs/reference/people-and-rights.md shows it; a test holds the two together."""


def rights_of(roles: set[Role]) -> frozenset[Right]:
    """Everything that these roles allow."""
    return frozenset().union(*(RIGHTS[role] for role in roles))


def roles_with(*rights: Right) -> list[str]:
    """The roles that have one of the rights, in words."""
    return [role.value for role, held in RIGHTS.items() if held & set(rights)]
