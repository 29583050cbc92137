"""`drawndose serve`: the pages, on this machine. The command line does not know the pages; it starts them by name."""

import argparse
import os
import socket
import subprocess
import sys
from importlib.util import find_spec

from drawndose.cli import Commands, command_parser

_EXAMPLES = """\
  drawndose serve                          http://127.0.0.1:8300/
  drawndose serve --port 8400
  DRAWNDOSE_HOSTS=bench.example drawndose serve --host 0.0.0.0
"""
SETTINGS = "drawndose.department.settings"
APPLICATION = "drawndose.department.wsgi:application"
NEEDED = ("argon2", "django", "django_htmx", "gunicorn", "numpy", "psycopg", "scipy", "typst", "whitenoise", "zxingcpp")


def add(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the parser of the command."""
    about = "Open the pages on this machine. They keep nothing that is typed."
    parser = command_parser(commands, "serve", _EXAMPLES, about)
    parser.add_argument(
        "--host", default="127.0.0.1", help="address to listen on (default 127.0.0.1: this machine only)"
    )
    parser.add_argument("--port", type=_port, default=8300, help="port to listen on (default 8300)")


def _port(text: str) -> int:
    if not (text.isascii() and text.isdecimal() and 1 <= int(text) <= 65_535):
        raise argparse.ArgumentTypeError(f"a port is a whole number from 1 to 65535 (got {text})")
    return int(text)


def run(args: argparse.Namespace) -> int:
    """Start the server and stay in it. Exit status 2 when it cannot be started, with the reason."""
    reason = missing() or _not_free(args.host, args.port)
    if reason:
        print(reason, file=sys.stderr)
        return 2
    env = {**os.environ, "DJANGO_SETTINGS_MODULE": SETTINGS}
    for task in (["check"], ["collectstatic", "--noinput", "--verbosity", "0"]):
        done = subprocess.run([sys.executable, "-m", "django", *task], env=env, stdout=subprocess.DEVNULL, check=False)
        if done.returncode:
            print(f"The pages were not started: `django {task[0]}` found the faults above.", file=sys.stderr)
            return 2
    shown = f"[{args.host}]" if ":" in args.host else args.host
    print(f"drawndose is at http://{shown}:{args.port}/ (Ctrl+C stops it)", flush=True)
    # One process, so that a key made for this process signs every form; the threads share it.
    server = ["-m", "gunicorn", "--bind", f"{shown}:{args.port}", "--workers", "1", "--threads", "2"]
    quiet = ["--log-level", "warning", "--no-control-socket"]
    os.execve(sys.executable, [sys.executable, *server, *quiet, APPLICATION], env)


def missing() -> str:
    """What the pages need and is not installed, in a sentence; or nothing."""
    names = [name for name in NEEDED if find_spec(name) is None]
    if not names:
        return ""
    return f"The pages need {', '.join(names)}, which is not installed here. Install them: pip install 'drawndose[web]'"


def _not_free(host: str, port: int) -> str:
    """Why the port cannot be opened, or nothing."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as trial:
        trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind((host, port))
        except OSError as error:
            if port and error.errno == 98:
                return f"Port {port} on {host} is in use. Stop what uses it, or choose another: drawndose serve --port {port + 1}"
            return f"The pages cannot listen on {host}, port {port}: {error.strerror or error}."
    return ""
