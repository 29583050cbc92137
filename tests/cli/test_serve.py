"""What `drawndose serve` asks for before it starts."""

import re
import tomllib
from pathlib import Path

from drawndose.cli.serve import NEEDED

ROOT = Path(__file__).parents[2]


def test_serve_looks_for_every_package_of_the_web_extra() -> None:
    """Or a missing one would be a traceback out of the page instead of a sentence that names it."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    names = [re.match(r"[\w-]+", one)[0].replace("-", "_") for one in project["optional-dependencies"]["web"]]
    imported = {"argon2_cffi": "argon2", "zxing_cpp": "zxingcpp"}
    assert sorted(NEEDED) == sorted(imported.get(name, name) for name in names)
