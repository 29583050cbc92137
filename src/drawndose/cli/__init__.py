"""The command line: `drawndose COMMAND ...`. Only the module of the command that was chosen is imported.

Each command module has `add(commands)`, which adds its parser with help and examples, and `run(args) -> int`. Exit
status: 0 done, 1 done and not as it should be (a stop in a plan, a failed case), 2 what came was not understood.
"""

import argparse
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import Protocol, cast

from drawndose.quantities import Refused

COMMANDS: dict[str, tuple[str, str]] = {
    "plan": ("drawndose.cli.plan", "work out what to draw, from an order and what is in hand"),
    "check": ("drawndose.cli.check", "is a container fit to be drawn from, and until when"),
    "sums": ("drawndose.cli.sums", "show a sum worked line by line, with the ways it goes wrong"),
    "catalogue": ("drawndose.cli.catalogue", "look up drugs, containers and instruments with their sources"),
    "instruments": ("drawndose.cli.instruments", "which instrument may measure which volume"),
    "compare": ("drawndose.cli.compare", "how sure one volume is in several instruments, side by side"),
    "draw": ("drawndose.cli.draw", "draw an instrument, a container, a cup or a needle to scale"),
    "weigh": ("drawndose.cli.weigh", "judge by weight what was really drawn"),
    "lab": ("drawndose.cli.lab", "prepare a skills lab: tasks, key, supplies, forms, what a pass proves"),
    "aerosol": ("drawndose.cli.aerosol", "what happens to a fill after it is prepared, as ranges"),
    "scan": ("drawndose.cli.scan", "what a scanned code says, field by field"),
    "convert": ("drawndose.cli.convert", "show a strength or an amount in its other forms"),
    "verify": ("drawndose.cli.verify", "check this installation against published cases, or cases of your own"),
    "serve": ("drawndose.cli.serve", "open the pages on this machine"),
    "department": ("drawndose.cli.department", "keep a department: start, back up, restore, audit, export, import"),
}
"""Commands by name: the module, and the line that the list of commands shows."""

Commands = argparse._SubParsersAction  # what `add` is given; argparse has no public name for it


class Command(Protocol):
    """A command module."""

    def add(self, commands: "Commands[argparse.ArgumentParser]") -> None:
        """Add the command's parser."""

    def run(self, args: argparse.Namespace) -> int:
        """Do it, and return the exit status."""


def command_parser(
    commands: "Commands[argparse.ArgumentParser]", name: str, examples: str, description: str
) -> argparse.ArgumentParser:
    """A command's parser with its help, its examples, and the --json that every command has."""
    parser = commands.add_parser(
        name,
        help=COMMANDS[name][1],
        description=description,
        epilog=f"examples:\n{examples}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--json", action="store_true", help="write one JSON document with exact values")
    return parser


class _Version(argparse.Action):
    """Looks the version up only when it is asked for: the look-up costs as much as a plan."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from importlib.metadata import version

        sys.stdout.write(f"drawndose {version('drawndose')}\n")
        parser.exit()


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    words = list(sys.argv[1:] if argv is None else argv)
    parser = argparse.ArgumentParser(
        prog="drawndose",
        description="From an order and the container in hand to a checked plan for drawing up a small nebulizer dose.",
        epilog="A planning and teaching aid: it does not prescribe and does not replace the label, the order or policy.",
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="show the version and stop")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    chosen = next((word for word in words if not word.startswith("-")), "")
    command: Command | None = None
    for name, (module, line) in COMMANDS.items():
        if name == chosen:
            command = cast(Command, import_module(module))
            command.add(commands)
        else:
            commands.add_parser(name, help=line)
    try:
        args = parser.parse_args(words)
        return command.run(args) if command else 2
    except SystemExit as stopped:
        return stopped.code if isinstance(stopped.code, int) else 2
    except Refused as refused:
        from drawndose.cli.output import write_faults

        write_faults(refused.faults, as_json="--json" in words)
        return 2
    except BrokenPipeError:
        sys.stderr.close()  # the reader went away (`| head`), and the interpreter would complain about it
        return 0
