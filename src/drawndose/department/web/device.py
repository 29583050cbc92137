"""What a person chose for this device: where the main button stands, and whether a scan is heard. Kept in the browser, like the lighting."""

from __future__ import annotations

from django.http import HttpRequest

SIDES = ("left", "right")
TONES = ("off", "on")
CHOICES = {"side": SIDES, "tone": TONES}
"""Each cookie with the words that it may hold; the first one holds without a choice."""


def chosen(request: HttpRequest) -> dict[str, str]:
    """What holds on this device."""
    return {
        name: came if (came := request.COOKIES.get(name, "")) in words else words[0] for name, words in CHOICES.items()
    }


def device(request: HttpRequest) -> dict[str, object]:
    """For every template: mirrored is the page whose main button stands on the right; tone says that a scan is heard."""
    found = chosen(request)
    return {"mirrored": found["side"] == "right", "tone": found["tone"] == "on"}
