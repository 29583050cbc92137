"""Two persons add a site of one name at once: one is added, and the other is told."""

from __future__ import annotations

from tests.department.scene import scene


def test_two_at_once_add_one_site(committed: None) -> None:
    from drawndose.department.work.models import Site
    from drawndose.department.work.sites import add
    from drawndose.quantities import Refused
    from tests.department.work.test_at_once import in_threads

    scene()

    def one(place: int) -> str:
        try:
            return add("Ward 9", "UTC", actor="ben").name
        except Refused as refused:
            return refused.faults[0].rule

    got = in_threads(4, one)
    assert sorted(set(got)) == ["Ward 9", "a site of this name is here already"]
    assert Site.objects.filter(name="Ward 9").count() == 1
