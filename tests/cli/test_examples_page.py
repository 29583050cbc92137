"""Every command of the examples page is run, and the lines below it are looked for in what it prints."""

import re
import shlex
from pathlib import Path

import pytest

from drawndose.cli import main

PAGE = Path(__file__).parents[2] / "docs" / "reference" / "examples.md"


def examples() -> list[tuple[str, list[str]]]:
    blocks = re.split(r"^    \$ ", PAGE.read_text(encoding="utf-8"), flags=re.MULTILINE)[1:]
    return [
        (block.splitlines()[0], [line.strip() for line in block.splitlines()[1:] if line.strip()]) for block in blocks
    ]


def flat(text: str) -> str:
    """What is printed, without the folding of long lines."""
    return " ".join(text.split())


def test_the_page_holds_every_promised_example() -> None:
    assert len(examples()) == 30
    assert all(lines for _, lines in examples())


@pytest.mark.parametrize(("command", "lines"), examples(), ids=[command[15:] for command, _ in examples()])
def test_a_command_prints_what_the_page_says(
    command: str, lines: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    program, *words = shlex.split(command)
    assert program == "drawndose"
    main(words)
    printed = capsys.readouterr()
    said = flat(printed.out + printed.err)
    assert [line for line in lines if flat(line) not in said] == []
