"""Processes are killed while they write: what was acknowledged is there, what was not is whole or not there at all."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from random import Random

import pytest

from tests.department.keeping.places import environment
from tests.department.scene import scene

WRITER = Path(__file__).with_name("writer.py")


def writer(site: int) -> subprocess.Popen[str]:
    command = [sys.executable, str(WRITER), str(site)]
    return subprocess.Popen(
        command, env=environment(os.environ["DRAWNDOSE_DATABASE"]), stdout=subprocess.PIPE, text=True
    )


@pytest.mark.usefixtures("committed")
def test_killed_in_the_middle_of_a_write_again_and_again() -> None:
    from django.db import connection

    from drawndose.department.keeping.audit import audit
    from drawndose.department.ledger.models import Head
    from drawndose.department.work.models import Container

    chance = Random(7)
    on = scene()
    connection.close()
    acknowledged: dict[int, str] = {}
    last = 0
    for _ in range(3):
        writers = [writer(on.site.pk) for _ in range(3)]
        for one in writers:
            assert one.stdout is not None
            for _ in range(chance.randint(3, 12)):
                key, state, number = one.stdout.readline().split()
                acknowledged[int(key)] = state
                last = max(last, int(number))
            one.kill()
        for one in writers:
            rest, _ = one.communicate()
            for line in rest.splitlines(keepends=True):
                if line.endswith("\n"):  # what was printed after the last look was committed, too
                    key, state, number = line.split()
                    acknowledged[int(key)] = state
                    last = max(last, int(number))
        found = audit()
        assert found.fault == ""
        assert found.events >= last
    there = dict(Container.objects.values_list("pk", "state"))
    assert len(acknowledged) > 9
    lost = {key for key, state in acknowledged.items() if there.get(key) not in ({state, "opened"})}
    assert lost == set()
    assert Head.objects.get(pk=1).number == sum(Container.objects.values_list("version", flat=True)) + 1
