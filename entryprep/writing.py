"""Writing results: whole files, atomically, below one folder, never over what somebody else made."""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

MARK = ".entryprep-made.json"


class OutputError(Exception):
    """Results cannot be written; ``fix`` says what the user can do."""

    def __init__(self, message: str, fix: str) -> None:
        super().__init__(message)
        self.fix = fix


def write_outputs(folder: Path, files: Mapping[str, bytes], *, replace_all: bool = False) -> list[Path]:
    """Write ``files`` (names relative to ``folder``) and remember their digests in a mark file.

    A file that stands there already is replaced only if the mark says we made it and it is unchanged. With
    ``replace_all`` files of an earlier run that are no longer made are removed, under the same rule. Raises
    OutputError for a folder of other people's files, a changed file, or a disk that refuses.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        made = _made(folder)
        if made is None and any(folder.iterdir()):
            raise OutputError(
                f"{folder.as_posix()} holds files that entryprep did not make",
                "name another folder with --out, or an empty one",
            )
        known = made or {}
        for name in files:
            _may_replace(folder, name, known.get(name, []))
        return _write(folder, files, known, replace_all)
    except OSError as error:
        raise OutputError(
            f"{folder.as_posix()}: cannot be written: {error.strerror or error}", "name another folder with --out"
        ) from None


def _write(folder: Path, files: Mapping[str, bytes], known: dict[str, list[str]], replace_all: bool) -> list[Path]:
    fresh = {name: [digest(content)] for name, content in files.items()}
    # the mark names old and new digests first: a run cut short must not leave files nobody owns up to
    both = {name: known.get(name, []) + fresh.get(name, []) for name in {**known, **fresh}}
    _write_mark(folder, both)
    for name, content in files.items():
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        write_atomically(target, content)
    kept = {} if replace_all else known
    for name in known if replace_all else ():
        if name not in files and _is_ours(folder / name, known[name]):
            (folder / name).unlink()
    _write_mark(folder, {**kept, **fresh})
    return [folder / name for name in files]


def digest(content: bytes) -> str:
    """SHA-256 of a file's content, hexadecimal."""
    return hashlib.sha256(content).hexdigest()


def write_atomically(target: Path, content: bytes) -> None:
    """Write a file so that it is there whole or not at all. Raises OSError."""
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=".entryprep-")
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
        Path(name).chmod(0o644)
        Path(name).replace(target)
    except BaseException:
        with suppress(OSError):
            Path(name).unlink()
        raise


def _made(folder: Path) -> dict[str, list[str]] | None:
    mark = folder / MARK
    if not mark.is_file():
        return None
    try:
        listed = json.loads(mark.read_text(encoding="utf-8"))["made"]
        return {str(name): [str(d) for d in digests] for name, digests in listed.items()}
    except (ValueError, KeyError, TypeError, AttributeError):
        return None


def _is_ours(path: Path, digests: list[str]) -> bool:
    return path.is_file() and not path.is_symlink() and digest(path.read_bytes()) in digests


def _may_replace(folder: Path, name: str, digests: list[str]) -> None:
    path = folder / name
    if (path.exists() or path.is_symlink()) and not _is_ours(path, digests):
        raise OutputError(
            f"{path.as_posix()} was not made by entryprep, or was changed since",
            "move it away, or name another folder with --out",
        )


def _write_mark(folder: Path, made: Mapping[str, list[str]]) -> None:
    text = json.dumps({"made": dict(sorted(made.items()))}, indent=1) + "\n"
    write_atomically(folder / MARK, text.encode())


def write_new(target: Path, content: bytes) -> None:
    """Write one file where none is yet. Raises OutputError if something stands there, or the disk refuses."""
    if target.exists() or target.is_symlink():
        raise OutputError(f"{target.as_posix()} is there already", "name another file, or move that one away")
    try:
        write_atomically(target, content)
    except OSError as error:
        raise OutputError(
            f"{target.as_posix()}: cannot be written: {error.strerror or error}", "name another file"
        ) from None
