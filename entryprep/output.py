"""Writing results: whole files, atomically, below one folder, never over what somebody else made."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Collection, Mapping
from contextlib import suppress
from pathlib import Path

from entryprep.errors import EntryprepError

MARK = ".entryprep-made.json"
CHUNK = 1 << 20
Content = bytes | Path
"""What a file is to hold: its bytes, or a finished file to copy where they are too many to hold."""


class OutputError(EntryprepError):
    """Results cannot be written; ``fix`` says what the user can do."""


def write_outputs(
    folder: Path,
    files: Mapping[str, Content],
    *,
    replace_all: bool = False,
    replace_below: str = "",
    private: Collection[str] = (),
) -> list[Path]:
    """Write ``files`` (names relative to ``folder``) and remember their digests in a mark file.

    A file that stands there already is replaced only if the mark says we made it and it is unchanged. With
    ``replace_all`` files of an earlier run that are no longer made are removed, under the same rule; with
    ``replace_below`` those of one folder, such as ``letters/``. Files in
    ``private`` may be read by their owner only. Raises OutputError for a folder of other people's files, a changed
    file, or a disk that refuses.
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
        gone = {n for n in known if n not in files and (replace_all or (replace_below and n.startswith(replace_below)))}
        return _write(folder, files, known, gone, private)
    except OSError as error:
        raise OutputError(
            f"{folder.as_posix()}: cannot be written: {error.strerror or error}", "name another folder with --out"
        ) from None


def _write(
    folder: Path,
    files: Mapping[str, Content],
    known: dict[str, list[str]],
    gone: Collection[str],
    private: Collection[str],
) -> list[Path]:
    fresh = {name: [digest(content)] for name, content in files.items()}
    # the mark names old and new digests first: a run cut short must not leave files nobody owns up to
    both = {name: known.get(name, []) + fresh.get(name, []) for name in {**known, **fresh}}
    _write_mark(folder, both)
    for name, content in files.items():
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        write_atomically(target, content, 0o600 if name in private else 0o644)
    for name in gone:
        if _is_ours(folder / name, known[name]):
            (folder / name).unlink()
    kept = {name: digests for name, digests in known.items() if name not in gone}
    _write_mark(folder, {**kept, **fresh})
    return [folder / name for name in files]


def digest(content: Content) -> str:
    """SHA-256 of a file's content, hexadecimal."""
    if isinstance(content, bytes):
        return hashlib.sha256(content).hexdigest()
    with content.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def write_atomically(target: Path, content: Content, mode: int = 0o644) -> None:
    """Write a file so that it is there whole or not at all, with these permissions. Raises OSError."""
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=".entryprep-")
    try:
        with os.fdopen(handle, "wb") as stream:
            if isinstance(content, bytes):
                stream.write(content)
            else:
                with content.open("rb") as source:
                    shutil.copyfileobj(source, stream, CHUNK)
        Path(name).chmod(mode)
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
    return path.is_file() and not path.is_symlink() and digest(path) in digests


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
