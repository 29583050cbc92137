"""Evidence as the tables keep it: exact texts, also of what was a float, with what was typed; and back again."""

from __future__ import annotations

from dataclasses import fields
from fractions import Fraction
from typing import Any

from drawndose.lab.attempts.evidence import (
    Evidence,
    Held,
    LabelRead,
    Stopped,
    SumAnswer,
    VolumeRead,
    WeightFound,
)

KINDS: dict[str, type] = {
    "answer": SumAnswer,
    "read": VolumeRead,
    "weighed": WeightFound,
    "label": LabelRead,
    "stopped": Stopped,
}


def kept(evidence: Evidence) -> dict[str, Any]:
    """Plain data of texts and whole numbers; parts that were not taken are left out."""
    parts = {name: getattr(evidence, name) for name in KINDS}
    data: dict[str, Any] = {name: _data(part) for name, part in parts.items() if part is not None}
    data["not_asked"] = list(evidence.not_asked)
    if evidence.seconds is not None:
        data["seconds"] = evidence.seconds
    return data


def evidence_of(data: dict[str, Any]) -> Evidence:
    """The evidence that the data keep."""
    parts = {name: _part(kind, data[name]) for name, kind in KINDS.items() if name in data}
    not_asked = tuple(data.get("not_asked", ("stopped",)))
    return Evidence(**parts, seconds=data.get("seconds"), not_asked=not_asked)


def _data(part: Any) -> dict[str, Any]:
    return {one.name: _plain(getattr(part, one.name)) for one in fields(part)}


def _plain(value: Any) -> Any:
    if isinstance(value, Held):
        return value.value
    if isinstance(value, Fraction):
        return str(value)
    if isinstance(value, float):
        return repr(value)
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    return value


def _part(kind: type, data: dict[str, Any]) -> Any:
    return kind(**{one.name: _value(str(one.type), data[one.name]) for one in fields(kind)})


def _value(kind: str, value: Any) -> Any:
    if kind == "Held":
        return Held(value)
    if kind == "Fraction":
        return Fraction(value)
    if kind == "float":
        return float(value)
    if isinstance(value, list):
        return tuple(tuple(one) if isinstance(one, list) else one for one in value)
    return value
