"""Writing results: whole, repeatable, never over somebody else's file."""

from __future__ import annotations

import json
import os
from contextlib import suppress
from pathlib import Path

import pytest

from entryprep.output import (
    MARK,
    OutputError,
    Spool,
    claimed,
    digest,
    replace_file,
    write_new,
    write_outputs,
    write_season,
)
from tests.killing import KILLED, run_killed


def test_writes_and_writes_again(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_outputs(out, {"a.pdf": b"1", "b.csv": b"2"})
    write_outputs(out, {"a.pdf": b"3"})
    assert (out / "a.pdf").read_bytes() == b"3"
    assert (out / "b.csv").read_bytes() == b"2"


def test_a_full_run_removes_what_it_no_longer_makes(tmp_path: Path) -> None:
    write_outputs(tmp_path / "out", {"a.pdf": b"1", "old.pdf": b"2"})
    write_outputs(tmp_path / "out", {"a.pdf": b"1"}, replace_all=True)
    assert sorted(os.listdir(tmp_path / "out")) == [MARK, "a.pdf"]


def test_what_is_no_longer_made_below_one_folder_is_removed(tmp_path: Path) -> None:
    write_outputs(
        tmp_path / "out", {"a.csv": b"1", "letters/x.txt": b"2", "letters/y.txt": b"3", "letters/z.txt": b"4"}
    )
    (tmp_path / "out" / "letters" / "z.txt").write_bytes(b"changed by its owner")
    write_outputs(tmp_path / "out", {"letters/x.txt": b"5"}, replace_below="letters/")
    assert sorted(os.listdir(tmp_path / "out" / "letters")) == ["x.txt", "z.txt"]
    assert (tmp_path / "out" / "a.csv").exists()


def test_a_finished_file_is_copied_and_a_private_one_is_its_owners(tmp_path: Path) -> None:
    (tmp_path / "spool").write_bytes(b"long" * 1000)
    write_outputs(tmp_path / "out", {"a.csv": tmp_path / "spool", "key.csv": b"k"}, private=("key.csv",))
    assert (tmp_path / "out" / "a.csv").read_bytes() == b"long" * 1000
    assert (tmp_path / "out" / "key.csv").stat().st_mode & 0o777 == 0o600
    write_outputs(tmp_path / "out", {"a.csv": b"short"})
    assert (tmp_path / "out" / "a.csv").read_bytes() == b"short"


def test_what_was_spooled_is_written_part_by_part(tmp_path: Path) -> None:
    parts = {"a.txt": b"one", "empty.txt": b"", "b/big.bin": bytes(range(256)) * 9000, "b/c.txt": b"three"}
    with Spool() as spool:
        kept = {name: spool.keep(content) for name, content in parts.items()}
        write_outputs(tmp_path / "out", dict(reversed(kept.items())))
        assert {name: digest(each) for name, each in kept.items()} == {n: digest(part) for n, part in parts.items()}
    assert {name: (tmp_path / "out" / name).read_bytes() for name in parts} == parts
    write_outputs(tmp_path / "out", {"a.txt": b"two"})
    assert (tmp_path / "out" / "a.txt").read_bytes() == b"two", "what was spooled is known for ours"


def test_a_strangers_folder_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear aunt")
    with pytest.raises(OutputError, match="did not make"):
        write_outputs(tmp_path, {"a.pdf": b"1"})
    assert os.listdir(tmp_path) == ["letter.txt"]


def test_a_changed_file_is_not_overwritten(tmp_path: Path) -> None:
    write_outputs(tmp_path / "out", {"a.csv": b"1", "b.csv": b"1"})
    (tmp_path / "out" / "b.csv").write_bytes(b"my notes")
    with pytest.raises(OutputError, match="changed since"):
        write_outputs(tmp_path / "out", {"a.csv": b"2", "b.csv": b"2"})
    assert (tmp_path / "out" / "a.csv").read_bytes() == b"1", "nothing is written when one file is refused"


def test_a_link_is_not_followed(tmp_path: Path) -> None:
    write_outputs(tmp_path / "out", {"a.csv": b"1"})
    precious = tmp_path / "precious"
    precious.write_bytes(b"1")
    (tmp_path / "out" / "a.csv").unlink()
    (tmp_path / "out" / "a.csv").symlink_to(precious)
    with pytest.raises(OutputError):
        write_outputs(tmp_path / "out", {"a.csv": b"2"})
    assert precious.read_bytes() == b"1"


def test_a_file_in_place_of_the_folder(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("x")
    with pytest.raises(OutputError, match="out is a file, and a folder is wanted"):
        write_outputs(tmp_path / "out", {"a.csv": b"1"})


def test_a_disk_that_refuses_half_way_leaves_no_half_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_outputs(tmp_path / "out", {"a.csv": b"old"})

    def full(*_args: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "rename", full)
    with pytest.raises(OutputError, match="No space left"):
        write_outputs(tmp_path / "out", {"a.csv": b"new"})
    monkeypatch.undo()
    assert (tmp_path / "out" / "a.csv").read_bytes() == b"old"
    assert sorted(os.listdir(tmp_path / "out")) == [MARK, "a.csv"]
    write_outputs(tmp_path / "out", {"a.csv": b"new"})


def test_a_broken_mark_is_not_trusted(tmp_path: Path) -> None:
    write_outputs(tmp_path / "out", {"a.csv": b"1"})
    (tmp_path / "out" / MARK).write_text("{}")
    with pytest.raises(OutputError):
        write_outputs(tmp_path / "out", {"a.csv": b"2"})


OLD = {"a.csv": b"old", "sub/b.txt": b"old", "sub/gone.txt": b"old", "key.csv": b"old"}
NEW = {"a.csv": b"new", "sub/b.txt": b"new", "more/c.txt": b"new", "key.csv": b"new"}


def contents(folder: Path) -> dict[str, bytes]:
    """Everything that stands in a folder and its sub-folders, but the leavings of a run that was cut short."""
    found = (p for p in folder.rglob("*") if p.is_file() and not p.relative_to(folder).parts[0].startswith("."))
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in found}


def everything(folder: Path) -> list[str]:
    return sorted(p.relative_to(folder).as_posix() for p in folder.rglob("*"))


def write_set(folder: Path, files: dict[str, bytes]) -> None:
    write_outputs(folder, files, replace_all=True, private=("key.csv",))


@pytest.mark.skipif(not hasattr(os, "fork"), reason="forked processes are killed")
@pytest.mark.parametrize("before", [{}, OLD], ids=["first run", "second run"])
def test_killed_anywhere_no_set_is_mixed_and_the_next_run_clears_up(tmp_path: Path, before: dict[str, bytes]) -> None:
    places = 0
    for at in range(1, 200):
        out = tmp_path / str(at) / "out"
        if before:
            write_set(out, before)
        ended = run_killed(lambda out=out: write_set(out, NEW), at)  # type: ignore[misc]
        stands = contents(out) if out.exists() else {}
        assert stands.items() <= before.items() or stands.items() <= NEW.items(), f"old and new at change {at}"
        if ended == 0:
            assert stands == NEW
            break
        assert ended == KILLED
        write_set(out, NEW)
        places += 1
        assert everything(out.parent) == sorted(["out", *(f"out/{n}" for n in (MARK, *NEW, "sub", "more"))])
        assert (out / "key.csv").stat().st_mode & 0o777 == 0o600
    assert places > 20


@pytest.mark.skipif(not hasattr(os, "fork"), reason="forked processes are killed")
def test_a_run_that_was_cut_short_is_undone_whole(tmp_path: Path) -> None:
    for at in range(1, 200):
        out = tmp_path / str(at)
        write_set(out, OLD)
        if run_killed(lambda out=out: write_set(out, NEW), at) == 0:  # type: ignore[misc]
            break
        with claimed(out):
            assert contents(out) in (OLD, NEW)
        assert not {".entryprep-run", ".entryprep-lock"} & set(os.listdir(out))


@pytest.mark.skipif(not hasattr(os, "fork"), reason="forked processes are killed")
def test_a_file_changed_after_a_run_was_cut_short_is_kept(tmp_path: Path) -> None:
    kept = 0
    for at in range(1, 200):
        out = tmp_path / str(at)
        write_set(out, OLD)
        if run_killed(lambda out=out: write_set(out, NEW), at) == 0:  # type: ignore[misc]
            break
        if contents(out).get("a.csv") != b"new":
            continue
        (out / "a.csv").write_bytes(b"notes of its owner")
        with pytest.raises(OutputError, match=r"a\.csv was (changed|not made)"):
            write_set(out, NEW)
        assert (out / "a.csv").read_bytes() == b"notes of its owner"
        (out / "a.csv").rename(tmp_path / f"{at}.txt")
        write_set(out, NEW)
        assert contents(out) == NEW
        kept += 1
    assert kept > 3


def test_a_second_run_is_told_who_writes(tmp_path: Path) -> None:
    with claimed(tmp_path / "out"), pytest.raises(OutputError, match=f"another run .process {os.getpid()}, since 20"):
        write_outputs(tmp_path / "out", {"a.csv": b"1"})
    assert not (tmp_path / "out").exists(), "a folder made for nothing is taken away again"


@pytest.mark.skipif(not hasattr(os, "fork"), reason="two runs at once are forked")
def test_two_runs_at_once_never_mix(tmp_path: Path) -> None:
    for turn in range(20):
        out = tmp_path / str(turn)
        sets = [{f"{name}.csv": str(run).encode() * 9000 for name in range(6)} for run in (1, 2)]
        children = []
        for files in sets:
            child = os.fork()
            if not child:
                try:
                    write_set(out, files)
                finally:
                    os._exit(0)
            children.append(child)
        for child in children:
            os.waitpid(child, 0)
        assert contents(out) in sets
        assert everything(out) == sorted([MARK, *sets[0]])


@pytest.mark.parametrize(
    "name",
    ["../precious.txt", "/precious.txt", "a/../../precious.txt", "..", "", "a//b", "c:/x", "a\\..\\..\\b", "nul"],
)
def test_a_mark_that_names_what_is_outside_is_not_trusted(tmp_path: Path, name: str) -> None:
    precious = tmp_path / "precious.txt"
    precious.write_bytes(b"1")
    write_outputs(tmp_path / "out", {"a.csv": b"1"})
    (tmp_path / "out" / MARK).write_text(json.dumps({"made": {name: [digest(b"1")], str(precious): [digest(b"1")]}}))
    with pytest.raises(OutputError, match="did not make"):
        write_outputs(tmp_path / "out", {"a.csv": b"2"}, replace_all=True)
    assert precious.read_bytes() == b"1"
    with pytest.raises(OutputError, match="name of a file"):
        write_outputs(tmp_path / "other", {name: b"2"})
    assert precious.read_bytes() == b"1"
    assert not (tmp_path / "other").exists()


@pytest.mark.parametrize(
    "content", [b"[" * 100_000, b"null", b"[]", b'{"made": 1}', b"\xff\xfe", b'{"made": {"a": 1}}']
)
def test_a_damaged_mark_is_one_refusal(tmp_path: Path, content: bytes) -> None:
    write_outputs(tmp_path / "out", {"a.csv": b"1"})
    (tmp_path / "out" / MARK).write_bytes(content)
    with pytest.raises(OutputError, match="did not make"):
        write_outputs(tmp_path / "out", {"a.csv": b"2"})


def test_a_linked_sub_folder_is_not_written_through(tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    write_outputs(tmp_path / "out", {"a.csv": b"1"})
    (tmp_path / "out" / "letters").symlink_to(elsewhere)
    with pytest.raises(OutputError, match="not a folder of"):
        write_outputs(tmp_path / "out", {"a.csv": b"2", "letters/x.txt": b"2"})
    assert os.listdir(elsewhere) == []
    assert (tmp_path / "out" / "a.csv").read_bytes() == b"1"


@pytest.mark.parametrize("name", [".entryprep-run", ".entryprep-lock", MARK])
def test_links_with_our_own_names_are_not_followed(tmp_path: Path, name: str) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "precious").write_bytes(b"1")
    write_outputs(tmp_path / "out", {"a.csv": b"1"})
    (tmp_path / "out" / name).unlink(missing_ok=True)
    (tmp_path / "out" / name).symlink_to(elsewhere if name == ".entryprep-run" else elsewhere / "precious")
    with pytest.raises(OutputError):
        write_outputs(tmp_path / "out", {"a.csv": b"2"})
    assert (elsewhere / "precious").read_bytes() == b"1"


def test_the_umask_is_honoured_and_the_key_is_its_owners(tmp_path: Path) -> None:
    before = os.umask(0o027)
    try:
        write_outputs(tmp_path / "out", {"a.csv": b"1", "key.csv": b"1"}, private=("key.csv",))
    finally:
        os.umask(before)
    assert (tmp_path / "out" / "a.csv").stat().st_mode & 0o777 == 0o640
    assert (tmp_path / "out" / "key.csv").stat().st_mode & 0o777 == 0o600
    (tmp_path / "out" / "key.csv").chmod(0o644)
    write_outputs(tmp_path / "out", {"key.csv": b"1"}, private=("key.csv",))
    assert (tmp_path / "out" / "key.csv").stat().st_mode & 0o777 == 0o600


@pytest.mark.skipif(not hasattr(os, "fork"), reason="forked processes are killed")
def test_a_season_that_was_begun_can_be_finished(tmp_path: Path) -> None:
    files = {"brewer.yaml": b"1", "batches/a.yaml": b"2", "entries.yaml": b"3"}
    for at in range(1, 100):
        folder = tmp_path / str(at)
        ended = run_killed(lambda folder=folder: write_season(folder, files), at)  # type: ignore[misc]
        if folder.exists() and everything(folder) == sorted([*files, "batches"]):  # cut short with nothing left to do
            break
        assert ended == KILLED
        write_season(folder, files)
        assert contents(folder) == files
        assert everything(folder) == sorted([*files, "batches"])
        with pytest.raises(OutputError, match="not empty"):
            write_season(folder, files)
    (tmp_path / "half").mkdir()
    (tmp_path / "half" / "brewer.yaml").write_bytes(b"1")
    write_season(tmp_path / "half", files)
    (tmp_path / "own").mkdir()
    (tmp_path / "own" / "brewer.yaml").write_bytes(b"mine")
    with pytest.raises(OutputError, match="not empty"):
        write_season(tmp_path / "own", files)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="forked processes are killed")
def test_one_new_file_is_whole_or_not_there(tmp_path: Path) -> None:
    for at in range(1, 30):
        target = tmp_path / str(at) / "beer.json"
        target.parent.mkdir()
        ended = run_killed(lambda target=target: write_new(target, b"whole"), at)  # type: ignore[misc]
        assert not target.exists() or target.read_bytes() == b"whole"
        if ended == 0:
            break
        with suppress(OutputError):
            write_new(target, b"whole")
        assert everything(target.parent) == ["beer.json"]
    with pytest.raises(OutputError, match="there already"):
        write_new(target, b"other")
    assert target.read_bytes() == b"whole"


def test_a_file_is_replaced_whole_with_its_permissions_or_not_at_all(tmp_path: Path) -> None:
    target = tmp_path / "entries.yaml"
    target.write_bytes(b"before")
    target.chmod(0o640)
    replace_file(target, b"before", b"after")
    assert target.read_bytes() == b"after"
    assert target.stat().st_mode & 0o777 == 0o640
    with pytest.raises(OutputError, match="was changed while it was worked on"):
        replace_file(target, b"before", b"lost")
    assert target.read_bytes() == b"after"
    assert everything(tmp_path) == ["entries.yaml"]


@pytest.mark.skipif(not hasattr(os, "fork"), reason="forked processes are killed")
def test_a_replaced_file_is_the_old_or_the_new_one_wherever_a_run_is_killed(tmp_path: Path) -> None:
    for at in range(1, 30):
        target = tmp_path / str(at) / "entries.yaml"
        target.parent.mkdir()
        target.write_bytes(b"before")
        ended = run_killed(lambda target=target: replace_file(target, b"before", b"after"), at)  # type: ignore[misc]
        assert target.read_bytes() in {b"before", b"after"}
        if ended == 0:
            break
        replace_file(target, target.read_bytes(), b"again")
        assert target.read_bytes() == b"again"
        assert everything(target.parent) == ["entries.yaml"]
    assert target.read_bytes() == b"after"


@pytest.mark.parametrize("named", [".", "/", "..", ""])
def test_a_folder_is_no_file_to_write(named: str) -> None:
    with pytest.raises(OutputError, match="is a folder"):
        write_new(Path(named), b"whole")
