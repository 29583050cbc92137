"""Our own code on a label: what it is of, its number, and four signs by which a wrong or foreign one is told.

P1234.7K3Q is preparation 1,234. It says nothing of a person or a drug. The four signs are a keyed digest, so that a number
that was misread, or was printed by another installation, opens nothing; whoever scans it must still be signed in.
"""

from __future__ import annotations

import hmac
import re
from enum import Enum
from hashlib import sha256

from drawndose.quantities import Fault, Refused

SIGNS = "23456789CDFGHJKMNPQRTVWX"
"""Digits and capitals that are not taken for one another, and no vowel: no word comes out."""
LENGTH = 4
_CODE = re.compile(rf"(?P<kind>[CP])(?P<number>[1-9][0-9]{{0,11}})\.(?P<check>[{SIGNS}]{{{LENGTH}}})")
LEAST_KEY = 16


class Kind(Enum):
    """What a code may be of."""

    CONTAINER = "C"
    PREPARATION = "P"


def own_code(kind: Kind, number: int, key: bytes) -> str:
    """The code of one preparation or container. key: the installation's own, at least 16 bytes, the same for as long as its labels last.

    >>> own_code(Kind.PREPARATION, 1234, b"only for this example")
    'P1234.NQF5'
    """
    if not 1 <= number < 10**12:
        raise ValueError(f"a number is 1 to 12 digits (got {number})")
    return f"{kind.value}{number}.{_check(kind, number, key)}"


def read_own_code(text: str, key: bytes) -> tuple[Kind, int]:
    """What a scanned or typed code is of. Refused for another form, and for four signs that do not belong to it.

    Small letters, and spaces between the signs, are read as well: the code may be typed.
    """
    found = _CODE.fullmatch("".join(text.split()).upper())
    if found is None:
        rule = "it is not a code of ours"
        raise Refused([Fault(field="code", rule=rule, came=text, accepted="P1234.7K3Q, as on the label")])
    kind, number = Kind(found["kind"]), int(found["number"])
    if not hmac.compare_digest(found["check"], _check(kind, number, key)):
        rule = "the last four signs do not belong to this number: it was misread, or is from another place"
        raise Refused([Fault(field="code", rule=rule, came=text, accepted="the code as on the label")])
    return kind, number


def has_own_form(text: str) -> bool:
    """True for what looks like a code of ours, right or wrong: to tell it from the codes of makers."""
    return _CODE.fullmatch("".join(text.split()).upper()) is not None


def _check(kind: Kind, number: int, key: bytes) -> str:
    if len(key) < LEAST_KEY:
        raise ValueError(f"a key has at least {LEAST_KEY} bytes (got {len(key)})")
    value = int.from_bytes(hmac.digest(key, f"drawndose own code {kind.value}{number}".encode(), sha256))
    signs = []
    for _ in range(LENGTH):
        value, sign = divmod(value, len(SIGNS))
        signs.append(SIGNS[sign])
    return "".join(signs)
