"""Seals of personal words: an event proves which words stood there, and holds none of them.

A seal is SHA-256 over a random salt and the words. With the salt, kept beside the words, anyone can show that they are unchanged;
once both are erased, the seal tells nothing.
"""

from __future__ import annotations

import hashlib
import secrets

from drawndose.department.training.models import Attempt, Learner


def new_salt() -> str:
    """128 bits of chance as text."""
    return secrets.token_hex(16)


def seal(salt: str, words: str) -> str:
    """The seal of these words; "" where there are none."""
    return hashlib.sha256(f"{salt}\n{words}".encode()).hexdigest() if words else ""


def holds(of: Attempt | Learner, words: str, was: str) -> bool:
    """True when the words are those that were sealed. ValueError where the salt is erased: then nobody can tell."""
    if not of.salt:
        raise ValueError("the salt was erased with the words")
    return seal(of.salt, words) == was
