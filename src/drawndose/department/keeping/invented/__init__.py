"""An invented department: persons, patients, a shelf and a working day, made through the same services as a real one."""

from drawndose.department.keeping.invented.making import make

__all__ = ["make"]
