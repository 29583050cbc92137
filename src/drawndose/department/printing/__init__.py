"""Labels and sheets on paper: pure functions from plain texts to PDF and PNG of one layout. No storage, no clock, no printer."""

from drawndose.department.printing.cup import CupLabel, cup, cup_label, cup_of_plan
from drawndose.department.printing.opened import OpenedLabel, opened, opened_label
from drawndose.department.printing.own_code import Kind, has_own_form, own_code, read_own_code
from drawndose.department.printing.preparation_sheet import (
    PreparationSheet,
    SheetFinding,
    SheetStep,
    preparation_sheet,
    preparation_sheets,
)
from drawndose.department.printing.printed import Printed, print_each, print_label, print_sheet, size_for
from drawndose.department.printing.sheet_of_plan import sheet_of_plan
from drawndose.department.printing.shelf import ShelfLabel, shelf, shelf_label
from drawndose.department.printing.size import A4, GRIDS, LETTER, SIZES, Grid, Paper, Size, cut_grid, read_size

__all__ = [
    "A4",
    "GRIDS",
    "LETTER",
    "SIZES",
    "CupLabel",
    "Grid",
    "Kind",
    "OpenedLabel",
    "Paper",
    "PreparationSheet",
    "Printed",
    "SheetFinding",
    "SheetStep",
    "ShelfLabel",
    "Size",
    "cup",
    "cup_label",
    "cup_of_plan",
    "cut_grid",
    "has_own_form",
    "opened",
    "opened_label",
    "own_code",
    "preparation_sheet",
    "preparation_sheets",
    "print_each",
    "print_label",
    "print_sheet",
    "read_own_code",
    "read_size",
    "sheet_of_plan",
    "shelf",
    "shelf_label",
    "size_for",
]
