"""What can be imported as a list: one module for each, all of one shape (COLUMNS, `read` a row, `write` what was read)."""

from drawndose.department.keeping.lists import containers, orders, patients, people
from drawndose.department.keeping.lists.shape import Column, Imported, Read

LISTS: dict[str, Imported] = {
    "people": Imported(columns=people.COLUMNS, read=people.read, write=people.write),
    "patients": Imported(columns=patients.COLUMNS, read=patients.read, write=patients.write),
    "orders": Imported(columns=orders.COLUMNS, read=orders.read, write=orders.write),
    "containers": Imported(columns=containers.COLUMNS, read=containers.read, write=containers.write),
}
"""Every list by its name. docs/reference/department.md shows their columns; a test holds the two together."""

__all__ = ["LISTS", "Column", "Imported", "Read"]
