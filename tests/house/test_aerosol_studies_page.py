"""The page of published studies says what the program computes, and draws every study once."""

import re
from pathlib import Path

from drawndose.reference import load
from tools import aerosol_studies


def test_the_page_and_its_pictures_are_up_to_date() -> None:
    assert aerosol_studies.main(["--check"]) == 0, "run: python -m tools.aerosol_studies"


def test_every_study_has_its_row_and_its_point() -> None:
    page = aerosol_studies.PAGE.read_text(encoding="utf-8")
    drawn = "".join(path.read_text(encoding="utf-8") for path in aerosol_studies.IMAGES.glob("aerosol-studies-*.svg"))
    for ident in load().aerosol.studies:
        assert page.count(f"\n| `{ident}` |") == 1, ident
        assert drawn.count(f">{ident}: ") == 1, ident
    assert drawn.count('class="dot"') == len(load().aerosol.studies)


def test_what_is_outside_is_said_to_be_in_words_and_in_the_picture() -> None:
    page = aerosol_studies.PAGE.read_text(encoding="utf-8")
    outside = re.findall(r"\n\| `([a-z0-9.-]+)` \|[^\n]*\| outside \| ([^|]*) \|", page)
    assert len(outside) >= 3
    assert all(why.strip() for _, why in outside)


def test_a_stale_page_fails(tmp_path: Path, monkeypatch: object) -> None:
    monkeypatch.setattr(aerosol_studies, "PAGE", tmp_path / "page.md")  # type: ignore[attr-defined]
    monkeypatch.setattr(aerosol_studies, "IMAGES", tmp_path)  # type: ignore[attr-defined]
    assert aerosol_studies.main(["--check"]) == 1
    assert aerosol_studies.main([]) == 0
    assert aerosol_studies.main(["--check"]) == 0
    (tmp_path / "page.md").write_text("old", encoding="utf-8")
    assert aerosol_studies.main(["--check"]) == 1
