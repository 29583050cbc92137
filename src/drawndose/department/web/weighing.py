"""The weighing page: the form as it came, readings one by one or pasted or out of a file, and the round that they make.

Everything typed is kept as typed. A file is read into the box of readings, where it can be seen and mended; nothing of it is
kept when it cannot be read.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Final

from django.core.files.uploadedfile import UploadedFile
from django.http import QueryDict

from drawndose.quantities import Fault, Refused
from drawndose.science.balance_words import WhichBalance, read_which_balance, which_balance
from drawndose.science.import_readings import MOST_BYTES, NONE, TOO_LARGE, decode_readings
from drawndose.science.reading_list import Awaited, Listed, add_reading, awaited, take_back
from drawndose.science.rounds import Round
from drawndose.science.sheet_words import BOXES, COLUMNS, Filled, Reader, weigh_words

PRESSES: Final = ("go", "back", "clear")
SHOWN: Final = frozenset({"within", "limit", "liquid", "temperature", "pressure", "humidity"})
"""Boxes that stand on the page with their default in them, to be seen and changed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """The form as it came. reading: what stands in the box for the next one. file: its content; None where there is none."""

    boxes: Mapping[str, str] = field(default_factory=lambda: {name: BOXES[name] for name in SHOWN})
    listed: Listed = field(default_factory=Listed)
    reading: str = ""
    file: bytes | None = None
    too_large: bool = False
    press: str = ""

    @property
    def columns(self) -> tuple[str, ...]:
        """What the readings of a draw are, as chosen."""
        return COLUMNS.get(self.boxes.get("columns", ""), COLUMNS["net"])

    @property
    def untouched(self) -> bool:
        """True where nothing is on the sheet: only the lighting was pressed, or the page was opened."""
        return not (self.boxes.get("target") or self.listed.text or self.listed.begun or self.press)


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """One answered form. round is None while there is none, or while something was refused."""

    typed: Typed
    filled: Filled | None = None
    round: Round | None = None
    balances: WhichBalance | None = None
    awaited: Awaited | None = None
    faults: tuple[Fault, ...] = ()
    keep_typing: bool = False

    def at(self, name: str) -> tuple[Fault, ...]:
        """The faults of one box."""
        return tuple(fault for fault in self.faults if box_of(fault) == name)


def box_of(fault: Fault) -> str:
    """The box that a fault belongs to: its own, or the list for a fault of its rows."""
    return fault.field if fault.field in BOXES or fault.field in {"reading", "file"} else "readings"


def read_form(post: QueryDict, files: Mapping[str, UploadedFile], length: int) -> Typed:
    """The form's own state. length: of the whole request; an upload that is too large never reaches us, only its length does."""
    upload = files.get("file")
    content = upload.read(MOST_BYTES + 1) if upload is not None and upload.name else None
    return Typed(
        boxes={name: post.get(name, "") for name in BOXES},
        listed=Listed(
            text=post.get("readings", "").replace("\r\n", "\n"),
            begun=tuple(one for one in post.getlist("begun") if one),
        ),
        reading=post.get("reading", ""),
        file=content,
        too_large=upload is None and length > 2 * MOST_BYTES,
        press=next((name for name in PRESSES if name in post), ""),
    )


def weighed(typed: Typed) -> Weighed:
    """The answer to a form. Faults of boxes, ranges, rows, the file and the next reading come back together."""
    if typed.untouched and not typed.reading and typed.file is None and not typed.too_large:
        return Weighed(typed=typed, balances=read_which_balance({}), awaited=_awaited(typed))
    pressed, faults = _pressed(typed)
    filled, found = None, None
    if pressed.listed.text.strip():
        try:
            filled, found = weigh_words(pressed.boxes, lambda: pressed.listed.text)
        except Refused as refused:
            faults += refused.faults
    else:
        read = Reader(pressed.boxes)
        read.filled()
        faults += read.faults
        if typed.press == "go" and not pressed.listed.begun and not faults:
            faults.append(Fault(field="readings", rule=NONE, came="nothing", accepted="a column of numbers"))
    return Weighed(
        typed=pressed,
        filled=filled if not faults else None,
        round=found if not faults else None,
        balances=_balances(pressed, filled),
        awaited=_awaited(pressed),
        faults=tuple(dict.fromkeys(faults)),
        keep_typing=bool(typed.reading.strip()) or typed.press in {"back", "clear"},
    )


def _pressed(typed: Typed) -> tuple[Typed, list[Fault]]:
    """The form after what was pressed: a reading joins the list, the last one is taken back, a file is read into the list."""
    if typed.press == "clear":
        return replace(typed, listed=Listed(), reading="", file=None), []
    faults: list[Fault] = []
    pressed = typed
    try:
        if typed.press == "back":
            pressed = replace(pressed, listed=take_back(typed.listed, columns=typed.columns))
        elif typed.reading.strip():
            unit = typed.boxes.get("unit") or "g"
            listed = add_reading(typed.listed, typed.reading, columns=typed.columns, unit=unit)
            pressed = replace(pressed, listed=listed, reading="")
    except Refused as refused:
        faults += refused.faults
    try:
        pressed = replace(pressed, listed=_with_file(pressed), file=None)
    except Refused as refused:
        faults += (replace(fault, field="file") for fault in refused.faults)
    return pressed, faults


def _with_file(typed: Typed) -> Listed:
    """The list, or the text of the file where one came. Refused where both hold readings: which one counts is not ours to choose."""
    if typed.too_large:
        accepted = f"at most {MOST_BYTES:,} bytes"
        raise Refused([Fault(field="file", rule=TOO_LARGE, came="a larger file", accepted=accepted)])
    if typed.file is None:
        return typed.listed
    text = decode_readings(typed.file)
    if typed.listed.text.strip() or typed.listed.begun:
        rule = "readings stand in the box already, and a file goes into an empty box"
        raise Refused(
            [Fault(field="file", rule=rule, came="a file of readings", accepted="clear the readings, then the file")]
        )
    return Listed(text=text.lstrip("\ufeff").replace("\r\n", "\n"))


def _balances(typed: Typed, filled: Filled | None) -> WhichBalance | None:
    """Which balance would do: for the sheet that was read, or for what of it can be; None where nothing can."""
    if filled is not None:
        sheet = filled.sheet
        return which_balance((sheet.target_mL,), sheet.tolerance_mL / sheet.target_mL, sheet.balance)
    try:
        return read_which_balance(typed.boxes)
    except Refused:
        return None


def _awaited(typed: Typed) -> Awaited | None:
    try:
        return awaited(typed.listed, columns=typed.columns)
    except Refused:
        return None  # headings that are not known: told as a fault of the list
