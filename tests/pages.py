"""What the tests of the pages share: Django set up once for a process, its storage, and forms as a browser sends them."""

import html
import os
import re
import tempfile
from functools import lru_cache
from typing import Any, NoReturn

BOTTLE = "albuterol-0.5pct-bottle-20ml:0"


@lru_cache(maxsize=1)
def django() -> None:
    """Set Django up, with its static files collected into a folder of this process."""
    os.environ["DJANGO_SETTINGS_MODULE"] = "drawndose.department.settings"
    os.environ["DRAWNDOSE_STATIC"] = tempfile.mkdtemp(prefix="drawndose-static-")
    os.environ["DRAWNDOSE_DATABASE"] = _storage()
    import django
    from django.core.management import call_command
    from django.utils import asyncio as guard

    # A browser that is tested in this process keeps its event loop running in this thread until all tests have ended, and Django
    # refuses plain calls of the storage beside any loop: it sees none here. DJANGO_ALLOW_ASYNC_UNSAFE would say the same to every
    # server that a test starts, and that one is to be tested as it runs.
    guard.get_running_loop = _no_loop
    django.setup()
    call_command("collectstatic", "--noinput", verbosity=0)


def _no_loop() -> NoReturn:
    raise RuntimeError("no event loop uses the storage")


def _storage() -> str:
    """An empty storage of this process alone: a file, or a database beside the one that DRAWNDOSE_DATABASE names."""
    address = os.environ.get("DRAWNDOSE_DATABASE", "")
    if not address.startswith("postgresql:"):
        return f"sqlite://{tempfile.mkdtemp(prefix='drawndose-storage-')}/test.sqlite3"
    import psycopg

    server, _, name = address.rpartition("/")
    mine = f"{name}_{os.getpid()}"
    with psycopg.connect(address, autocommit=True) as connection:
        connection.execute(f'CREATE DATABASE "{mine}"')
    return f"{server}/{mine}"


@lru_cache(maxsize=1)
def migrated() -> None:
    """The storage with its tables."""
    django()
    from django.core.management import call_command

    call_command("migrate", verbosity=0)


def client(**more: Any) -> Any:
    """A client of the pages, on the loopback name that the settings allow."""
    django()
    from django.test import Client

    return Client(headers={"host": "127.0.0.1"}, **more)


def signed(who: Any, **more: Any) -> Any:
    """A client in which this person is signed in."""
    browser = client(**more)
    browser.force_login(who)
    return browser


def said(answer: Any) -> str:
    """The visible words of an answer."""
    return words(answer.content.decode())


def listed(page: str) -> list[str]:
    """The keys of the containers that a page lists."""
    return re.findall(r'name="listed" value="([^"]+)"', page)


def form(text: str, keep: list[str] | None = None, **more: Any) -> dict[str, Any]:
    """The form of an order; with `keep`, only these containers of the drug are ticked, and the diluents."""
    sent: dict[str, Any] = {"order": text, **more}
    if keep is not None:
        keys = listed(client().post("/", sent).content.decode())
        diluents = ("sodium-chloride-0", "sterile-water")
        sent["listed"] = keys
        sent["pack"] = [key for key in keys if key in keep or key.startswith(diluents)]
    return sent


def words(page: str) -> str:
    """The visible words of a page, with plain spaces."""
    plain = re.sub(r"<(script|style|svg)\b.*?</\1>", " ", page, flags=re.DOTALL)
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", plain)).replace("\u00a0", " ")).strip()


def post(text: str, keep: list[str] | None = None, **more: Any) -> str:
    """The page that comes back for an order."""
    answer = client().post("/", form(text, keep, **more))
    assert answer.status_code == 200
    return answer.content.decode()  # type: ignore[no-any-return]
