"""Pages and pictures of the documentation that a program writes: whole, or between marks in a page that people write."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from pathlib import Path


def filled(page: str, parts: Mapping[str, Callable[[], str]]) -> str:
    """The page with each part anew, between `<!-- name -->` and `<!-- end of name -->`. ValueError where a mark is missing."""
    for name, part in parts.items():
        begin, end = f"<!-- {name} -->", f"<!-- end of {name} -->"
        before, _, rest = page.partition(begin)
        _, found, after = rest.partition(end)
        if not found:
            raise ValueError(f"the page has no {begin} with {end} behind it")
        page = f"{before}{begin}\n{part()}\n{end}{after}"
    return page


def keep(files: Mapping[Path, str], words: list[str]) -> int:
    """Write the files; with --check nothing is written, and those out of date are named. 1 when there are such."""
    if "--check" not in words:
        for path, text in files.items():
            path.write_text(text, encoding="utf-8")
        return 0
    stale = [path for path, text in files.items() if not path.exists() or path.read_text(encoding="utf-8") != text]
    sys.stderr.writelines(f"out of date: {path}\n" for path in stale)
    return 1 if stale else 0
