"""The log: one JSON object a line. It tells which page, how long and how it ended, and holds nothing that anyone typed.

A page is told by its pattern ("sheet/<int:number>/"), never by its address; a person by a number that is the same for the same person
and tells no name; a fault by its kind and its place in the code, without its message: that may quote a row.
"""

from __future__ import annotations

import json
import logging
import time
import traceback
from collections.abc import Callable
from contextvars import ContextVar
from datetime import UTC, datetime
from uuid import uuid4

from django.contrib.auth import SESSION_KEY
from django.http import HttpRequest, HttpResponse
from django.utils.crypto import salted_hmac

REQUEST: ContextVar[str] = ContextVar("request", default="")
"""The number of the request that is being answered: in every line that is written meanwhile, and in the answer's X-Request-ID."""
OURS = "drawndose"
TOLD = ("method", "page", "status", "ms", "person", "job", "kind", "claims", "worker", "trouble")
"""What a line of ours may tell beside its sentence."""
log = logging.getLogger(f"{OURS}.request")


class Line(logging.Formatter):
    """One record as one JSON object. Of a foreign logger only the pattern of its sentence: what is filled in may be anyone's."""

    def format(self, record: logging.LogRecord) -> str:
        """The line."""
        ours = record.name.split(".")[0] == OURS
        said: dict[str, object] = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "log": record.name,
            "says": record.getMessage() if ours else str(record.msg),
        }
        if REQUEST.get():
            said["request"] = REQUEST.get()
        if ours:
            said |= {name: record.__dict__[name] for name in TOLD if name in record.__dict__}
        if record.exc_info and record.exc_info[0] is not None:
            said["fault"] = record.exc_info[0].__name__
            frames = traceback.extract_tb(record.exc_info[2])[-8:]
            said["where"] = [f"{frame.filename}:{frame.lineno} {frame.name}" for frame in frames]
        return json.dumps(said, ensure_ascii=True)


def each_request(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """One line for every request but those for styles and scripts."""

    def answer(request: HttpRequest) -> HttpResponse:
        number = uuid4().hex[:16]
        before, began = REQUEST.set(number), time.monotonic()
        try:
            response = get_response(request)
            response["X-Request-ID"] = number
            if not request.path.startswith("/static/"):
                log.info("answered", extra=_told(request, response, began))
            return response
        finally:
            REQUEST.reset(before)

    return answer


def _told(request: HttpRequest, response: HttpResponse, began: float) -> dict[str, object]:
    match = request.resolver_match
    told: dict[str, object] = {
        "method": request.method if request.method in {"GET", "HEAD", "POST"} else "another",
        "page": f"/{match.route}" if match is not None else "none",
        "status": response.status_code,
        "ms": round((time.monotonic() - began) * 1000),
    }
    session = getattr(request, "session", None)
    if session is not None and session.accessed and SESSION_KEY in session:
        told["person"] = salted_hmac("drawndose.log", str(session[SESSION_KEY]), algorithm="sha256").hexdigest()[:12]
    return told
