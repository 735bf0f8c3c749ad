"""Writing results: whole, repeatable, never over somebody else's file."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from entryprep.output import MARK, OutputError, write_outputs


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
    with pytest.raises(OutputError, match="cannot be written"):
        write_outputs(tmp_path / "out", {"a.csv": b"1"})


def test_a_disk_that_refuses_half_way_leaves_no_half_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_outputs(tmp_path / "out", {"a.csv": b"old"})

    def full(*_args: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
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
