"""Which letters the packaged type can print. One that it lacks would come out as an empty box, so it is refused.

A letter with its mark in two characters (e and an acute) is the same letter as in one, and is judged and printed as one.
"""

from __future__ import annotations

import struct
import unicodedata
from functools import cache

from drawndose.paper.setting import TYPE
from drawndose.quantities import Fault

NOT_PRINTED = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}
"""Kinds of characters that leave no mark or change the order of others: control, direction, surrogates, line ends."""


def letter_faults(text: str, field: str) -> list[Fault]:
    """One fault where a text holds what cannot be printed on one line; it names the first such character."""
    written = unicodedata.normalize("NFC", text)
    bad = next((one for one in written if not _prints(one)), None)
    if bad is None:
        return []
    name = unicodedata.name(bad, "a control character").lower()
    rule = f"paper has no sign for {_code(bad)}, {name}"
    came = "".join(one if _prints(one) else f"[{_code(one)}]" for one in written)
    accepted = "one line in Latin, Greek or Cyrillic letters; or leave it out and write it by hand"
    return [Fault(field=field, rule=rule, came=came, accepted=accepted)]


def _code(one: str) -> str:
    return f"U+{ord(one):04X}"


def _prints(one: str) -> bool:
    return one in _letters() and unicodedata.category(one) not in NOT_PRINTED


@cache
def _letters() -> frozenset[str]:
    """Every character that each weight has, in one of its typefaces."""
    weights = {name[-7:-4] for name in (file.name for file in TYPE.glob("*.ttf"))}
    of_weight = [
        frozenset[str]().union(*(_covered(file.read_bytes()) for file in TYPE.glob(f"*-{weight}.ttf")))
        for weight in weights
    ]
    return frozenset.intersection(*of_weight)


def _covered(font: bytes) -> frozenset[str]:
    """The characters of a TrueType file: its table cmap, the part for Windows and Unicode in format 4.

    Source: OpenType specification, cmap, format 4 (segments of first and last codes; glyph 0 means there is none).
    """
    cmap = _table(font, b"cmap")
    (count,) = struct.unpack_from(">H", cmap, 2)
    parts = {(at[0], at[1]): at[2] for at in struct.iter_unpack(">HHL", cmap[4 : 4 + 8 * count])}
    part = cmap[parts[3, 1] :]
    segments = struct.unpack_from(">H", part, 6)[0] // 2
    last, first, delta, offset = (
        struct.unpack_from(f">{segments}H", part, start + 2 * segments * place)
        for place, start in enumerate((14, 16, 16, 16))
    )
    found = set()
    for at in range(segments):
        for code in range(first[at], last[at] + 1):
            glyph = code
            if offset[at]:
                where = 16 + 6 * segments + 2 * at + offset[at] + 2 * (code - first[at])
                (glyph,) = struct.unpack_from(">H", part, where)
            if glyph and (glyph + delta[at]) % 65536:
                found.add(chr(code))
    return frozenset(found - {"\uffff"})


def _table(font: bytes, tag: bytes) -> bytes:
    (count,) = struct.unpack_from(">H", font, 4)
    places = {
        name: (start, length) for name, _, start, length in struct.iter_unpack(">4sLLL", font[12 : 12 + 16 * count])
    }
    start, length = places[tag]
    return font[start : start + length]
