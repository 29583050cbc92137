"""What a request says about the device that it comes from."""

from __future__ import annotations

from django.http import HttpRequest

from drawndose.department.people.limits import limits


def address_of(request: HttpRequest) -> str:
    """The address of the device. Behind so many proxies as are set, the one that the outermost of them saw; else the peer's."""
    hops = limits().proxies
    seen = [one.strip() for one in request.META.get("HTTP_X_FORWARDED_FOR", "").split(",") if one.strip()]
    if hops and len(seen) >= hops:
        return seen[-hops][:64]
    return request.META.get("REMOTE_ADDR", "")
