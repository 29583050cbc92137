"""What can be imported as a list: one module for each, all of one shape (COLUMNS, `read` a row, `write` what was read)."""

from drawndose.department.keeping.lists import containers, orders, patients, people
from drawndose.department.keeping.lists.shape import Column, Imported, Read
from drawndose.department.people.roles import Right

LISTS: dict[str, Imported] = {
    "people": Imported(right=Right.KEEP_PEOPLE, columns=people.COLUMNS, read=people.read, write=people.write),
    "patients": Imported(right=Right.MOVE_DATA, columns=patients.COLUMNS, read=patients.read, write=patients.write),
    "orders": Imported(right=Right.MOVE_DATA, columns=orders.COLUMNS, read=orders.read, write=orders.write),
    "containers": Imported(
        right=Right.MOVE_DATA, columns=containers.COLUMNS, read=containers.read, write=containers.write
    ),
}
"""Every list by its name. docs/reference/department.md shows their columns; a test holds the two together."""

__all__ = ["LISTS", "Column", "Imported", "Read"]
