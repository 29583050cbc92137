"""A backup holds the storage of one moment, and comes back whole or not at all, on either storage."""

from __future__ import annotations

import json
import shutil
import stat
import threading
import zipfile
from pathlib import Path

import pytest

from drawndose.quantities import Refused
from tests.department.keeping.places import done, new_database, new_file, postgresql, verb
from tests.department.scene import labelled, scene

pytestmark = pytest.mark.usefixtures("committed")


def content(path: Path) -> dict[str, list[str]]:
    """The lines of each table, and the ledger's head."""
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name).decode().splitlines() for name in archive.namelist() if "tables" in name}


def worked() -> None:
    """A department in which something was done, and someone who may move data."""
    on = scene()
    labelled(on)
    on.ana.roleheld_set.create(role="manager")


@pytest.fixture
def backed_up(tmp_path: Path) -> Path:
    from drawndose.department.keeping.backup import backup

    worked()
    path = tmp_path / "monday.zip"
    backup(path)
    return path


def test_it_holds_every_row_with_digests_and_the_head(backed_up: Path) -> None:
    from drawndose.department.keeping.restore import verify
    from drawndose.department.keeping.tables import tables
    from drawndose.department.ledger.models import Head

    manifest = verify(backed_up)
    for name, model in tables().items():
        assert manifest.tables[name]["rows"] == model._base_manager.count(), name
    assert manifest.head["hash"] == Head.objects.get(pk=1).hash
    assert manifest.head["number"] > 10
    assert stat.S_IMODE(backed_up.stat().st_mode) == 0o600


def test_a_backup_is_never_written_over_and_leaves_nothing_begun(backed_up: Path, tmp_path: Path) -> None:
    from drawndose.department.keeping.backup import backup

    with pytest.raises(Refused, match="a file of this name"):
        backup(backed_up)
    assert [path.name for path in tmp_path.iterdir()] == ["monday.zip"]


def test_nothing_was_founded_nothing_is_backed_up(tmp_path: Path) -> None:
    from drawndose.department.keeping.backup import backup

    with pytest.raises(Refused, match="never founded"):
        backup(tmp_path / "none.zip")
    assert list(tmp_path.iterdir()) == []


def test_it_comes_back_in_a_new_place_of_either_kind(backed_up: Path, tmp_path: Path) -> None:
    first = new_file(tmp_path)
    assert "the ledger agrees with every row" in done(first, "restore", str(backed_up))
    places = [first]
    if postgresql():
        places.append(new_database())
        done(places[-1], "restore", str(backed_up))
    for number, place in enumerate(places):
        again = tmp_path / f"again-{number}.zip"
        done(place, "backup", str(again))
        was, now = content(backed_up), content(again)
        assert {name for name in was if was[name] != now[name]} == {
            "tables/ledger.event.jsonl",
            "tables/ledger.head.jsonl",
        }
        assert now["tables/ledger.event.jsonl"][:-1] == was["tables/ledger.event.jsonl"]
        assert json.loads(now["tables/ledger.event.jsonl"][-1])["name"] == "storage.restored"
        assert "rows agree" in done(place, "audit")


def test_work_goes_on_after_a_restore(backed_up: Path, tmp_path: Path) -> None:
    """New rows get new numbers: the counters of the storage were set, too."""
    place = new_database() if postgresql() else new_file(tmp_path)
    done(place, "restore", str(backed_up))
    file = tmp_path / "containers.csv"
    file.write_text(
        "site,presentation,pack,lot,expiry\nWard 3,albuterol-0.5pct-bottle-20ml,20 mL,9Z9,2099-06-30\n",
        encoding="utf-8",
    )
    done(place, "import", "containers", str(file), "--by", "ana")
    assert "rows agree" in done(place, "audit")


def test_only_an_empty_place_is_restored_into(backed_up: Path, tmp_path: Path) -> None:
    place = new_file(tmp_path)
    done(place, "restore", str(backed_up))
    again = verb(place, "restore", str(backed_up))
    assert (again.returncode, "the storage is not empty" in again.stderr) == (2, True)


def test_only_verifying_writes_nothing(backed_up: Path, tmp_path: Path) -> None:
    place = new_file(tmp_path)
    assert "holds" in done(place, "restore", str(backed_up), "--only-verify")
    assert not Path(place.removeprefix("sqlite://")).exists()


def altered(path: Path, name: str, change) -> Path:
    """The archive again with one file in it changed; the manifest is left as it was."""
    made = path.with_name("altered.zip")
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(made, "w") as new:
        for one in old.namelist():
            inside = old.read(one)
            changed = change(inside) if one == name else inside
            if changed is not None:
                new.writestr(one, changed)
    return made


def rehashed(path: Path, table: str, change) -> Path:
    """A table changed with a manifest that fits it: what someone would do who knows how."""
    import hashlib

    made = altered(path, f"tables/{table}.jsonl", change)
    with zipfile.ZipFile(made) as archive:
        lines = archive.read(f"tables/{table}.jsonl")
        manifest = json.loads(archive.read("manifest.json"))
    manifest["tables"][table] = {"rows": lines.count(b"\n"), "sha256": hashlib.sha256(lines).hexdigest()}
    other = shutil.move(made, made.with_name("once.zip"))
    return altered(Path(other), "manifest.json", lambda _: json.dumps(manifest).encode())


@pytest.mark.parametrize(
    ("name", "change", "said"),
    [
        (
            "tables/work.container.jsonl",
            lambda old: old.replace(b"19500000", b"20000000"),
            "not what the manifest says",
        ),
        ("tables/work.draw.jsonl", lambda old: b"", "not what the manifest says"),
        ("tables/work.draw.jsonl", lambda old: None, "tables are missing"),
        ("tables/work.draw.jsonl", lambda old: b"{", "cannot be read"),
        ("manifest.json", lambda old: old.replace(b"backup/1", b"backup/9"), "another schema"),
        ("manifest.json", lambda old: b"[]", "no backup, or is damaged"),
    ],
)
def test_a_damaged_backup_is_refused_and_nothing_is_written(
    backed_up: Path, tmp_path: Path, name: str, change, said: str
) -> None:
    place = new_file(tmp_path)
    run = verb(place, "restore", str(altered(backed_up, name, change)))
    assert run.returncode == 2
    assert said in run.stderr
    assert not Path(place.removeprefix("sqlite://")).exists()


def test_a_cut_file_is_refused(backed_up: Path, tmp_path: Path) -> None:
    from drawndose.department.keeping.restore import verify

    cut = tmp_path / "cut.zip"
    cut.write_bytes(backed_up.read_bytes()[:-100])
    with pytest.raises(Refused, match="no backup, or is damaged"):
        verify(cut)
    with pytest.raises(Refused, match="No such file"):
        verify(tmp_path / "gone.zip")


@pytest.mark.parametrize(
    ("table", "change", "said"),
    [
        ("ledger.event", lambda old: old.replace(b'"actor":"ana"', b'"actor":"ben"', 1), "was altered"),
        ("ledger.event", lambda old: old[: old.rindex(b"\n", 0, -1) + 1], "the head is not the end"),
        ("ledger.event", lambda old: old.replace(b'"actor"', b'"actress"', 1), "a row is no event"),
    ],
)
def test_a_rewritten_ledger_is_refused_by_its_chain(backed_up: Path, table: str, change, said: str) -> None:
    from drawndose.department.keeping.restore import verify

    with pytest.raises(Refused, match=said):
        verify(rehashed(backed_up, table, change))


@pytest.mark.parametrize(
    ("table", "change", "said"),
    [
        ("work.container", lambda old: old.replace(b'"left_nl":19500000', b'"left_nl":20000000'), "the ledger leaves"),
        ("work.preparation", lambda old: b"", "nothing was restored"),
        ("work.container", lambda old: old.replace(b'"left_nl":', b'"left_ml":'), "columns differ"),
        ("work.container", lambda old: old.replace(b'"state":"opened"', b'"state":"lost"'), "nothing was restored"),
    ],
)
def test_rows_that_do_not_fit_are_refused_and_the_place_stays_empty(
    backed_up: Path, tmp_path: Path, table: str, change, said: str
) -> None:
    place = new_file(tmp_path)
    run = verb(place, "restore", str(rehashed(backed_up, table, change)))
    assert run.returncode == 2
    assert said in run.stderr
    assert "never founded" in verb(place, "audit").stderr


def test_what_does_not_agree_comes_back_when_someone_insists_and_stays_named(backed_up: Path, tmp_path: Path) -> None:
    file = rehashed(backed_up, "work.container", lambda old: old.replace(b'"left_nl":19500000', b'"left_nl":20000000'))
    place = new_file(tmp_path)
    run = verb(place, "restore", str(file), "--in-spite")
    assert (run.returncode, "the ledger leaves 19.5 mL, the row says 20 mL" in run.stdout) == (1, True)
    assert "the ledger leaves 19.5 mL" in verb(place, "audit").stdout


def test_a_backup_of_an_older_release_is_brought_up_to_date(backed_up: Path, tmp_path: Path) -> None:
    """As it was before a person could be made to change the password: that column, and tables that came later, are not there."""

    def without(old: bytes) -> bytes:
        rows = [json.loads(line) for line in old.splitlines()]
        return b"".join(
            json.dumps({name: value for name, value in row.items() if name != "must_change"}).encode() + b"\n"
            for row in rows
        )

    older = rehashed(backed_up, "people.person", without)
    with zipfile.ZipFile(older) as archive:
        manifest = json.loads(archive.read("manifest.json"))
    manifest["migrations"]["people"] = "0001_initial"
    shutil.move(older, tmp_path / "older.zip")
    old = altered(tmp_path / "older.zip", "manifest.json", lambda _: json.dumps(manifest).encode())
    places = [new_file(tmp_path)] + ([new_database()] if postgresql() else [])
    for number, place in enumerate(places):
        done(place, "restore", str(old))
        again = tmp_path / f"again-{number}.zip"
        done(place, "backup", str(again))
        people = [json.loads(line) for line in content(again)["tables/people.person.jsonl"]]
        assert [one["must_change"] for one in people] == [False] * 3
        assert "rows agree" in done(place, "audit")


def test_a_backup_of_a_newer_release_is_refused(backed_up: Path, tmp_path: Path) -> None:
    newer = altered(backed_up, "manifest.json", lambda old: old.replace(b'"0001_initial"', b'"0999_later"', 1))
    run = verb(new_file(tmp_path), "restore", str(newer))
    assert (run.returncode, "a newer drawndose made it" in run.stderr) == (2, True)


def test_a_backup_under_load_is_the_ledger_of_one_moment(tmp_path: Path) -> None:
    """Others write all the while; what the backup holds is whole, and audits in its new place."""
    from django.db import connection, transaction

    from drawndose.department.keeping.backup import backup
    from drawndose.department.keeping.restore import verify
    from drawndose.department.ledger.models import Event
    from drawndose.department.work import shelf
    from drawndose.department.work.models import Container
    from tests.department.scene import SALINE, received

    on = scene()
    stop, written = threading.Event(), []

    def write(place: int) -> None:
        try:
            while not stop.is_set():
                made = received(on, SALINE, "3 mL", lot=f"L{place}")
                shelf.move(Container.objects.get(pk=made.pk), f"room {place}", by=on.ana, version=made.version)
                written.append(made.pk)
        finally:
            connection.close()

    threads = [threading.Thread(target=write, args=(place,)) for place in range(3)]
    for thread in threads:
        thread.start()
    manifests, before = [], 0
    for number in range(4):
        while len(written) < before + 5:
            stop.wait(0.01)
        before = len(written)
        manifests.append(backup(tmp_path / f"{number}.zip"))
    stop.set()
    for thread in threads:
        thread.join()
    numbers = [one.head["number"] for one in manifests]
    assert numbers == sorted(set(numbers)), "the department did not work on while it was backed up"
    for number, manifest in enumerate(manifests):
        path = tmp_path / f"{number}.zip"
        verify(path)
        assert Event.objects.get(number=manifest.head["number"]).hash == manifest.head["hash"]
        moved = [json.loads(line) for line in content(path)["tables/work.container.jsonl"]]
        assert sum(one["version"] for one in moved) == manifest.head["number"] - 1
    done(new_file(tmp_path), "restore", str(tmp_path / "3.zip"))
    with transaction.atomic():
        assert Container.objects.count() == len(written)
