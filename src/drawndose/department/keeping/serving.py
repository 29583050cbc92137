"""Opening the pages: settings checked, a port that is free, a key that lasts, styles collected, workers beside, then the web server."""

from __future__ import annotations

import argparse
import os
import secrets
import socket
import subprocess
import sys

from django.core.management import call_command
from django.db import connection

from drawndose.department.alone import alone
from drawndose.department.chosen import Chosen
from drawndose.department.database import data_folder
from drawndose.quantities import Fault, Refused

APPLICATION = "drawndose.department.wsgi:application"


def add_serving(parser: argparse.ArgumentParser) -> None:
    """The options of a verb that opens the pages."""
    parser.add_argument(
        "--host", default="127.0.0.1", help="address to listen on (default 127.0.0.1: this machine only)"
    )
    parser.add_argument("--port", type=_port, default=8300, help="port to listen on (default 8300)")
    parser.add_argument("--processes", type=_count, default=2, help="web processes (default 2)")
    parser.add_argument("--workers", type=_count, default=1, help="workers for long work beside them (default 1)")


def _port(text: str) -> int:
    if not (text.isascii() and text.isdecimal() and 1 <= int(text) <= 65_535):
        raise argparse.ArgumentTypeError(f"a port is a whole number from 1 to 65535 (got {text})")
    return int(text)


def _count(text: str) -> int:
    if not (text.isascii() and text.isdecimal() and int(text) <= 64):
        raise argparse.ArgumentTypeError(f"a whole number up to 64 (got {text})")
    return int(text)


def hold_port(host: str, port: int) -> None:
    """Refused when the port cannot be opened."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as trial:
        trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind((host, port))
        except OSError as error:
            rule, accepted = f"it cannot be opened: {error.strerror or error}", f"another port: --port {port + 1}"
            raise Refused([Fault(field="port", rule=rule, came=f"{host}, {port}", accepted=accepted)]) from error


def lasting_key(chosen: Chosen) -> dict[str, str]:
    """What to add to the environment so that every process signs with the same key, today and after a restart.

    One machine with SQLite makes its own, once. Where several machines may share a storage, somebody must choose it: Refused.
    """
    if chosen.get("secret_key") or chosen.get("secret_key_file"):
        return {}
    if connection.vendor != "sqlite":
        rule = "every process of a department signs with the same key, and none was chosen"
        accepted = (
            "a file with a key, the same on every machine: python -c 'import secrets; print(secrets.token_urlsafe(50))'"
        )
        raise Refused([Fault(field="DRAWNDOSE_SECRET_KEY_FILE", rule=rule, came="none", accepted=accepted)])
    path = data_folder(chosen) / "secret-key"
    with alone(path.parent):
        if not path.exists():
            part = path.with_name(f"secret-key.{os.getpid()}")
            with open(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "w", encoding="ascii") as file:
                file.write(secrets.token_urlsafe(50) + "\n")
            part.replace(path)
    return {"DRAWNDOSE_SECRET_KEY_FILE": str(path)}


def serve(args: argparse.Namespace, chosen: Chosen, says: str) -> int:
    """Start workers, and become the web server: it does not come back. Ctrl+C stops all of it."""
    env = {"DRAWNDOSE_LOG": "requests"} | os.environ | lasting_key(chosen)
    call_command("collectstatic", "--noinput", verbosity=0)
    connection.close()
    work = [sys.executable, "-m", "drawndose.department.keeping", "work", "--beside", str(os.getpid())]
    for _ in range(args.workers):
        subprocess.Popen(work, env=env)
    shown = f"[{args.host}]" if ":" in args.host else args.host
    print(f"{says}\nThe department is at http://{shown}:{args.port}/board/ (Ctrl+C stops it)", flush=True)
    server = [
        "-m",
        "gunicorn",
        "--bind",
        f"{shown}:{args.port}",
        "--workers",
        str(max(args.processes, 1)),
        "--threads",
        "4",
    ]
    quiet = ["--log-level", "warning", "--no-control-socket"]
    os.execve(sys.executable, [sys.executable, *server, *quiet, APPLICATION], env)
