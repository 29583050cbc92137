"""Seals of personal words: an event proves which words stood there, and holds none of them.

A seal is SHA-256 over a random salt and the words. With the salt, kept beside the words, anyone can show that they are unchanged;
once both are erased, the seal tells nothing.
"""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from random import Random

from drawndose.department.training.models import Attempt, Learner

_SEEDED: ContextVar[Random | None] = ContextVar("seeded", default=None)


@contextmanager
def seeded(seed: int) -> Iterator[None]:
    """Let salts come out of a seed, so that invented records are the same each time. Such a seal hides nothing."""
    before = _SEEDED.set(Random(seed))
    try:
        yield
    finally:
        _SEEDED.reset(before)


def new_salt() -> str:
    """128 bits of chance as text."""
    chance = _SEEDED.get()
    return chance.randbytes(16).hex() if chance is not None else secrets.token_hex(16)


def seal(salt: str, words: str) -> str:
    """The seal of these words; "" where there are none."""
    return hashlib.sha256(f"{salt}\n{words}".encode()).hexdigest() if words else ""


def holds(of: Attempt | Learner, words: str, was: str) -> bool:
    """True when the words are those that were sealed. ValueError where the salt is erased: then nobody can tell."""
    if not of.salt:
        raise ValueError("the salt was erased with the words")
    return seal(of.salt, words) == was
