"""A file that was chosen on a page."""

from __future__ import annotations

from django.http import HttpRequest

from drawndose.quantities import Fault, Refused


def chosen(request: HttpRequest, most: int, name: str = "file") -> bytes:
    """The content of the file. Refused when there is none, or it was too large to be taken. most: bytes; one more is read, to tell it."""
    upload = request.FILES.get(name)
    length = int(request.headers.get("Content-Length") or 0)
    if upload is None and length > most:
        raise _no("it is larger than is read at once", f"{length:,} bytes", f"at most {most:,} bytes")
    if upload is None or not upload.name:
        raise _no("a file is wanted", "nothing chosen", "a CSV file, saved as UTF-8")
    return bytes(upload.read(most + 1))


def _no(rule: str, came: str, accepted: str) -> Refused:
    return Refused([Fault(field="file", rule=rule, came=came, accepted=accepted)])
