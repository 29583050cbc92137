"""An export holds every record exactly, says what it holds, and holds no secret."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from pathlib import Path
from typing import Any

import pytest

from drawndose.quantities import Refused
from tests.department.scene import labelled, scene

pytestmark = pytest.mark.usefixtures("committed")


@pytest.fixture
def exported() -> tuple[dict[str, Any], dict[str, list[dict[str, str]]]]:
    """The JSON document, and the rows of each CSV."""
    from drawndose.department.keeping.export import export

    on = scene()
    labelled(on)
    on.ana.set_password("a word that nobody knows")
    on.ana.save()
    with zipfile.ZipFile(io.BytesIO(export())) as archive:
        tables = {
            Path(name).stem: list(csv.DictReader(io.StringIO(archive.read(name).decode(), newline="")))
            for name in archive.namelist()
            if name.endswith(".csv")
        }
        return json.loads(archive.read("records.json")), tables


def test_both_forms_hold_every_row_with_the_columns_that_are_told(exported) -> None:
    from drawndose.department.keeping.export import exported as models

    document, tables = exported
    assert document["schema"] == "drawndose.records/1"
    assert set(document["tables"]) == set(tables) == set(document["columns"]) == set(models())
    for name, model in models().items():
        assert len(document["tables"][name]) == len(tables[name]) == model._base_manager.count(), name
        for row in document["tables"][name]:
            assert list(row) == list(document["columns"][name])
        for row in tables[name]:
            assert list(row) == list(document["columns"][name])


def test_values_are_exact_and_their_kinds_are_told(exported) -> None:
    document, tables = exported
    bottle = next(one for one in document["tables"]["work.container"] if one["left_nl"] == 19_500_000)
    assert (bottle["expiry"], bottle["bedside"]) == ("2099-06-30", False)
    assert bottle["opened_at"].endswith("Z")
    columns = document["columns"]["work.container"]
    assert columns["left_nl"] == "whole number"
    assert columns["opened_at"] == "moment in UTC, or nothing"
    assert columns["expiry"] == "day"
    assert columns["site_id"] == "key of work.site"
    assert columns["bedside"] == "yes or no"
    assert document["columns"]["ledger.event"]["content"] == "JSON"
    assert {"no"} == {one["bedside"] for one in tables["work.container"]}


def test_the_ledger_of_an_export_can_be_verified_by_anyone(exported) -> None:
    from drawndose.department.keeping.tables import made
    from drawndose.department.ledger.chain import first_broken
    from drawndose.department.ledger.models import Event

    document, _ = exported
    assert first_broken(made(Event, row) for row in document["tables"]["ledger.event"]) is None
    assert document["tables"]["ledger.event"][-1]["hash"] == document["head"]["hash"]


def test_no_secret_leaves(exported) -> None:
    document, tables = exported
    text = json.dumps(document) + json.dumps(tables)
    assert "argon2" not in text
    assert "password" not in document["columns"]["people.person"]
    assert not {"people.sitting", "people.failure", "work.draft", "keeping.job"} & set(document["tables"])


def test_who_exported_is_recorded_and_only_who_may_does(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from argparse import Namespace

    from drawndose.department.keeping import export, jobs
    from drawndose.department.ledger.models import Event

    on = scene()
    path = tmp_path / "records.zip"
    with pytest.raises(Refused, match="may not"):
        export.run(Namespace(by="ana", file=str(path)))
    on.ana.roleheld_set.create(role="manager")
    assert export.run(Namespace(by="ana", file=str(path))) == 0
    assert Event.objects.latest("number").name == "records.exported"
    with pytest.raises(Refused, match="there already"):
        export.run(Namespace(by="ana", file=str(path)))
    job = jobs.submit("export", {}, by="ana")
    jobs.run(jobs.claim("worker"))
    job.refresh_from_db()
    assert zipfile.is_zipfile(io.BytesIO(bytes(job.result)))
    assert Event.objects.filter(name="records.exported", actor="ana").count() == 2


def test_no_number_of_an_export_was_ever_a_float(exported) -> None:
    """Amounts go out as whole nanolitres and grams, or as the text that was typed: no zero is lost, and none is made up."""

    def numbers(value: Any) -> list[Any]:
        if isinstance(value, dict):
            return [one for each in value.values() for one in numbers(each)]
        if isinstance(value, list):
            return [one for each in value for one in numbers(each)]
        return [value] if isinstance(value, int | float) else []

    found = numbers(exported[0]["tables"])
    assert len(found) > 20
    assert [one for one in found if isinstance(one, float)] == []
