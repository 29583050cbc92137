"""Write the pictures of docs/reference/labels.md, which are specimens as they are printed.

Usage: python tools/label_pictures.py [--check]     with --check nothing is written, and a picture that is out of date fails
"""

import sys
from pathlib import Path

from drawndose.department.printing.specimens import specimens

FOLDER = Path(__file__).parents[1] / "docs/reference/labels"
SHOWN = ("cup", "cup-along", "cup-two-drugs", "opened", "shelf", "sheet-a4")
FOLLOWS = "sheet-a4.png"  # its steps and sources are the engine's words: it is written with the others, and may be older than they


def pictures() -> dict[str, bytes]:
    """The file name and the first page of each specimen that the reference shows."""
    return {f"{name}.png": printed.png for name, printed in specimens() if name in SHOWN}


def main(words: list[str], folder: Path = FOLDER) -> int:
    """Write, or name what is out of date and return how many."""
    if "--check" not in words:
        for name, picture in pictures().items():
            (folder / name).write_bytes(picture)
        return 0
    old = [
        name
        for name, picture in pictures().items()
        if not (folder / name).exists() or ((folder / name).read_bytes() != picture and name != FOLLOWS)
    ]
    for name in old:
        print(f"{name} is out of date")
    return len(old)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
