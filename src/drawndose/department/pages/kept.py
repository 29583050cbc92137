"""What was typed and came after the session fell idle: not carried out, kept, and offered again. Never a secret, never a file."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlsplit

from django.http import HttpRequest
from django.utils.http import url_has_allowed_host_and_scheme

from drawndose.bench.moments import told
from drawndose.department.ledger import append as ledger
from drawndose.department.people.models import Person, Sitting
from drawndose.department.work.models import Draft, Site
from drawndose.department.work.places import local

FORM = "kept"
SECRET = {"password", "secret", "pin", "csrfmiddlewaretoken"}
"""Words of a field's name, between underscores, that make it a secret."""

HIDDEN = {"key", "version", "next"}
"""What a form carries for itself, and a person does not read."""


def _form(sitting: Sitting) -> str:
    return f"{FORM} {sitting.pk}"


def is_kept(sitting: Sitting) -> bool:
    """True when a form of this sitting is kept."""
    return Draft.objects.filter(person=sitting.person, form=_form(sitting)).exists()


def keep(request: HttpRequest, person: Person) -> None:
    """Keep the fields of a form and where it was going: the last one of each sitting."""
    fields = {
        name: values
        for name, values in request.POST.lists()
        if name != FORM and not SECRET & set(name.lower().split("_"))
    }
    content = {
        "address": request.get_full_path(),
        "fields": fields,
        "files": sorted(request.FILES),
        "opens": _from(request),
    }
    Draft.objects.update_or_create(
        person=person,
        form=_form(request.sitting),
        defaults={"content": content, "saved_at": ledger.now()},
    )


def _from(request: HttpRequest) -> str:
    """The page that the form stood on; "" where the browser does not say."""
    page = request.headers.get("Referer", "")
    if not url_has_allowed_host_and_scheme(page, allowed_hosts={request.get_host()}):
        return ""
    parts = urlsplit(page)
    return f"{parts.path}?{parts.query}" if parts.query else parts.path


def kept_of(person: Person) -> list[Draft]:
    """Every form that is kept for a person, the newest first."""
    return list(Draft.objects.filter(person=person, form__startswith=f"{FORM} ").order_by("-saved_at"))


def sent_again(request: HttpRequest) -> None:
    """Forget what is being sent again now, or was left by a press."""
    number = request.POST.get(FORM, "") if request.method == "POST" else ""
    if number.isascii() and number.isdecimal() and len(number) < 19:
        Draft.objects.filter(pk=int(number), person=request.user, form__startswith=f"{FORM} ").delete()


def shown(draft: Draft, site: Site | None) -> dict[str, Any]:
    """What the page of kept forms shows of one: where it was going, when it came, and every field to send it again."""
    content = draft.content
    fields = [(name, value) for name, values in content["fields"].items() for value in values]
    return content | {
        "id": draft.pk,
        "told": told(local(site, draft.saved_at) if site is not None else draft.saved_at),
        "fields": fields,
        "visible": [(name, value) for name, value in fields if value.strip() and name not in HIDDEN],
    }
