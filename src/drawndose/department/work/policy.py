"""The settings in force: the engine's policy and the house's own, each as text with its reason, over the shipped defaults."""

from __future__ import annotations

from dataclasses import fields, replace

from django.db import transaction

from drawndose.bench.policy import Policy
from drawndose.department.ledger.append import Replayed, append
from drawndose.department.ledger.models import Event
from drawndose.department.people.models import Person
from drawndose.department.work import choices
from drawndose.department.work.change import Moved
from drawndose.department.work.known_settings import CHOICES, ENGINE, HOUSE
from drawndose.department.work.models import Setting
from drawndose.quantities import Fault, Refused, gather
from drawndose.reference import Nebulizer

BY_NAME = {one.name: one for one in ENGINE}
EVERY = {one.name: one for one in CHOICES}
"""Every setting by its name: those of the engine, and those that the engine does not know."""


def policy() -> Policy:
    """The engine's policy in force now."""
    return _policy({row.name: row.value for row in Setting.objects.all() if row.name in BY_NAME})


def house(name: str) -> object:
    """The value of a house setting in force now."""
    row = Setting.objects.filter(name=name).first()
    known = EVERY[name]
    return known.read(row.value if row is not None else known.default, name)


def own_nebulizers() -> tuple[Nebulizer, ...]:
    """The nebulizers that were measured here, in the order in which they were stated."""
    return house("nebulizers")  # type: ignore[return-value]


def _policy(texts: dict[str, str]) -> Policy:
    """Refused with every setting that cannot be, alone or together."""
    made: dict[str, object] = {}
    faults: list[Fault] = []
    for name, text in texts.items():
        try:
            made[name] = BY_NAME[name].read(text.strip(), name)
        except Refused as refused:
            faults += refused.faults
    gather(faults)
    try:
        return Policy(**made)  # type: ignore[arg-type]
    except ValueError as error:
        came = ", ".join(f"{name} {text}" for name, text in texts.items())
        raise Refused(
            [Fault(field="policy", rule=str(error), came=came, accepted="what the label and issuers allow")]
        ) from error


def choose(name: str, text: str, *, reason: str, by: Person, seen: str | None = None, key: str | None = None) -> None:
    """Choose a setting; an empty text goes back to the shipped default. Refused when it cannot be, or without a reason.

    seen: the text that stood there when the person looked ("" for the default); Moved when another one stands there now.
    """
    faults: list[Fault] = []
    if name not in EVERY:
        faults.append(Fault(field="setting", rule="no such setting", came=name, accepted=", ".join(EVERY)))
    elif text.strip():
        faults += _faults_of(name, text.strip())
    if not reason.strip():
        faults.append(
            Fault(field="reason", rule="a reason is needed", came=reason, accepted="who decided it, and when")
        )
    gather(faults)
    with transaction.atomic():
        was = Setting.objects.filter(name=name).first()
        if key is not None and (done := Event.objects.filter(key=key).first()) is not None:
            raise Replayed(done)
        if seen is not None and seen != (was.value if was else ""):
            raise Moved(was)
        append(
            "policy.chosen" if text.strip() else "policy.default",
            "setting",
            name,
            actor=by.username,
            reason=reason,
            key=key,
            content={"from": was.value if was else "", "to": text.strip()},
        )
        Setting.objects.filter(name=name).delete()
        if text.strip():
            Setting.objects.create(name=name, value=text.strip(), reason=reason)
        try:
            policy()
        except Refused as refused:  # it cannot stand by itself or beside the others, and the transaction is undone
            raise Refused(_of_this(fault, name, text.strip()) for fault in refused.faults) from refused


def _of_this(fault: Fault, name: str, text: str) -> Fault:
    """What is wrong with the whole policy, told of the setting that was chosen."""
    rule = fault.rule.removeprefix(f"{name} is ")
    return replace(fault, field=name, rule=rule, came=text or "as shipped", accepted=EVERY[name].accepts)


def _faults_of(name: str, text: str) -> list[Fault]:
    """What is wrong with a text for a setting."""
    try:
        EVERY[name].read(text, name)
    except Refused as error:
        return list(error.faults)
    return []


def shown(name: str, value: object) -> str:
    """The value of a setting in words."""
    return choices.shown(value, EVERY[name].undecided)


def defaults() -> dict[str, object]:
    """The shipped default of every setting."""
    made = Policy()
    engine = {one.name: getattr(made, one.name) for one in fields(made) if one.name in BY_NAME}
    return engine | {one.name: one.read(one.default, one.name) for one in HOUSE}


__all__ = ["BY_NAME", "CHOICES", "EVERY", "choose", "defaults", "house", "own_nebulizers", "policy", "shown"]
