"""The wheel carries every file of the package: a missing data file must fail here, not at a department."""

import subprocess
import sys
import zipfile
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_wheel_carries_every_file_of_the_package(tmp_path: Path) -> None:
    files = {path for path in (ROOT / "src/drawndose").rglob("*") if path.is_file() and "__pycache__" not in path.parts}
    assert ROOT / "src/drawndose/py.typed" in files
    command = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation", "--no-index"]
    subprocess.run([*command, "--wheel-dir", tmp_path, ROOT], check=True)
    (wheel,) = tmp_path.glob("drawndose-*.whl")
    assert {path.relative_to(ROOT / "src").as_posix() for path in files} <= set(zipfile.ZipFile(wheel).namelist())
