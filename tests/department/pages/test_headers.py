"""The pages of people and signing hold the browser as strictly as the bench: nothing inline, nothing from elsewhere, cookies closed."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys

import pytest

from tests.department.people.staff import staff
from tests.pages import client

COOKIES = ("SESSION_COOKIE_SECURE", "CSRF_COOKIE_SECURE", "SESSION_COOKIE_HTTPONLY", "CSRF_COOKIE_HTTPONLY")
TELL = f"""
import json, django
from django.conf import settings
django.setup()
print(json.dumps([bool(getattr(settings, name)) for name in {COOKIES!r}] + [settings.SESSION_COOKIE_SAMESITE]))
"""


@pytest.mark.usefixtures("storage")
@pytest.mark.parametrize("address", ["/sign-in/", "/people/", "/people/{}/", "/me/", "/nowhere/", "veiled"])
def test_nothing_runs_styles_or_calls_from_the_markup_and_no_id_stands_twice(address: str) -> None:
    from drawndose.department.people.models import Sitting

    on = staff()
    browser = client()
    browser.force_login(on.cleo)
    browser.get("/me/")
    if address == "veiled":
        Sitting.objects.update(seen_at="2020-01-01T00:00:00Z")
    answer = browser.get("/people/" if address == "veiled" else address.format(on.ana.pk))
    page = answer.content.decode()
    assert not re.search(r"\sstyle=|\son[a-z]+=|<style|javascript:", page)
    assert all("src=" in tag for tag in re.findall(r"<script[^>]*>", page))
    assert re.findall(r'(?:src|href|action)="(?:https?:)?//', page) == []
    policy = answer["Content-Security-Policy"]
    assert ("default-src 'self'" in policy, "unsafe" in policy, answer["Cache-Control"]) == (True, False, "no-store")
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert sorted(ids) == sorted(set(ids))


@pytest.mark.parametrize(("https", "secure"), [("yes", True), ("no", False)])
def test_over_tls_the_cookies_are_sent_over_tls_only(https: str, secure: bool) -> None:
    settings = {"DJANGO_SETTINGS_MODULE": "drawndose.department.settings", "DRAWNDOSE_HTTPS": https}
    run = subprocess.run(
        [sys.executable, "-c", TELL], env=os.environ | settings, capture_output=True, text=True, check=True
    )
    assert json.loads(run.stdout) == [secure, secure, True, True, "Strict"]
