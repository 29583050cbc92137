"""A form that does something: its key, the version that the person saw, and what came of it. Nothing is done by half."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any
from uuid import uuid4

from django.db import DatabaseError, IntegrityError
from django.http import HttpRequest

from drawndose.bench.findings import Finding
from drawndose.department.ledger.append import Replayed
from drawndose.department.ledger.models import Event
from drawndose.department.work.change import Moved
from drawndose.quantities import Fault, Refused


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What came of an act. done: it is done, now or by the same form before. value: what the act returned.

    before: what the same form did when it was sent the first time; nothing was done again.
    """

    done: bool
    value: Any = None
    before: Event | None = None
    faults: tuple[Fault, ...] = ()
    findings: tuple[Finding, ...] = ()
    moved: bool = False

    @property
    def status(self) -> int:
        """The status of the answer: 422 for what was refused, 409 for what someone else changed."""
        return 200 if self.done else 409 if self.moved else 422


@dataclass(frozen=True, slots=True)
class Sent:
    """What every acting form carries beside its fields."""

    key: str
    version: int
    fields: dict[str, str] = field(default_factory=dict)


def new_key() -> str:
    """A key for a form that is about to be shown: sending the same form twice does it once."""
    return str(uuid4())


def sent(request: HttpRequest) -> Sent:
    """The key and version out of a form. A form without them is one of nobody's, and gets a key that is not repeatable."""
    version = request.POST.get("version", "")
    return Sent(
        key=request.POST.get("key", "")[:64] or new_key(),
        version=int(version) if version.isascii() and version.isdecimal() and len(version) < 9 else 0,
        fields={name: value.strip() for name, value in request.POST.items()},
    )


def act(do: Callable[[], Any], *, key: str = "") -> Outcome:
    """Do it, and say what came of it.

    Findings that come back mean that nothing was done. A form that was already carried out counts as done, also where what it
    did makes a second time impossible: key is the form's, and the ledger knows it then.
    """
    outcome = _tried(do)
    refused = not outcome.done and not outcome.findings
    if refused and key and (event := Event.objects.filter(key=key).first()) is not None:
        return Outcome(done=True, before=event)
    return outcome


def _tried(do: Callable[[], Any]) -> Outcome:
    try:
        value = do()
    except Replayed as replayed:
        return Outcome(done=True, before=replayed.event)
    except Moved:
        rule = "someone else changed it since you opened it"
        fault = Fault(field="page", rule=rule, came="an older state", accepted="open it again, and look")
        return Outcome(done=False, moved=True, faults=(fault,))
    except Refused as refused:
        return Outcome(done=False, faults=refused.faults)
    except IntegrityError as error:
        fault = Fault(
            field="page",
            rule="what stands in the storage forbids it",
            came=str(error).splitlines()[0],
            accepted="open it again",
        )
        return Outcome(done=False, faults=(fault,))
    except DatabaseError:
        rule = "the storage did not take it; nothing was changed"
        return Outcome(
            done=False, faults=(Fault(field="storage", rule=rule, came="this form", accepted="send it again"),)
        )
    if isinstance(value, tuple) and value and all(isinstance(one, Finding) for one in value):
        return Outcome(done=False, findings=value)
    return Outcome(done=True, value=value)
