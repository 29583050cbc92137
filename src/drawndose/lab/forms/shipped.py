"""The forms that come with the house: one for each kind of container, read from the packaged data.

Steps and critical marks come from published rules of safe practice, joined in our own words; the grading and the weights are
ours. A programme edits its own copy (`edited`).
"""

from __future__ import annotations

import tomllib
from functools import lru_cache
from importlib.resources import files

from drawndose.lab.forms.form import Form
from drawndose.lab.forms.reading import read_form
from drawndose.lab.reading import refused


@lru_cache(maxsize=1)
def shipped() -> tuple[Form, ...]:
    """Every form that comes with the house, in the order of their ids."""
    folder = files("drawndose.lab") / "data" / "forms"
    found = sorted((one for one in folder.iterdir() if one.name.endswith(".toml")), key=lambda one: one.name)
    return tuple(read_form(tomllib.loads(one.read_text(encoding="utf-8"))) for one in found)


def shipped_form(ident: str) -> Form:
    """The form of this id. Refused when there is none."""
    for form in shipped():
        if form.id == ident:
            return form
    raise refused("form", "no form of this id comes with the house", ident, ", ".join(one.id for one in shipped()))
