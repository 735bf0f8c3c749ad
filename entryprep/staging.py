"""Many files replaced in one step: made ready beside the old ones, then put in their place, or nothing of it at all.

In a sub-folder of the folder stand ``new/`` (files made ready), ``old/`` (those they take the place of) and a journal.
Old files leave first, then new ones come, so that no moment shows some of each; the step is done when the journal is
renamed. A run that is cut short before that is undone by the next one.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import stat
import tempfile
from collections.abc import Collection, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import IO

from entryprep.filenames import is_safe
from entryprep.folderlock import OutputError

RUN = ".entryprep-run"
JOURNAL, FINISHED = "journal.json", "finished.json"
CHUNK = 1 << 20
FEW = 50  # files that are sent to the disk one by one; of more, all are sent at once
PRIVATE = 0o600


@dataclass(frozen=True)
class Spooled:
    """Content that lies in a :class:`Spool`: from where, how many bytes, and their SHA-256."""

    stream: IO[bytes]
    start: int
    length: int
    digest: str


class Spool:
    """One temporary file that holds the contents of many until they are written: making and removing a file for each
    takes a disk longer than writing it. As a context it is gone at the end."""

    def __init__(self) -> None:
        self.stream: IO[bytes] = tempfile.TemporaryFile(prefix="entryprep-")  # noqa: SIM115 - closed by __exit__
        self.end = 0

    def __enter__(self) -> Spool:
        return self

    def __exit__(
        self, _kind: type[BaseException] | None, _error: BaseException | None, _where: TracebackType | None
    ) -> None:
        self.stream.close()

    def keep(self, content: bytes) -> Spooled:
        """Put a content at the end."""
        self.stream.seek(self.end)
        self.stream.write(content)
        kept = Spooled(self.stream, self.end, len(content), digest(content))
        self.end += len(content)
        return kept


Content = bytes | Path | Spooled
"""What a file is to hold: its bytes, or where they are too many to hold a finished file or a part of one to copy."""


def digest(content: Content) -> str:
    """SHA-256 of a file's content, hexadecimal."""
    if isinstance(content, Spooled):
        return content.digest
    if isinstance(content, bytes):
        return hashlib.sha256(content).hexdigest()
    with content.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def replace_together(
    folder: Path, files: Mapping[str, Content], gone: Collection[str] = (), private: Collection[str] = ()
) -> None:
    """Put ``files`` in the place of what stands there, and take ``gone`` away, in one step; the lock must be held.

    Files of ``private`` are their owner's alone, the others as the umask says. The last of ``files`` leaves first and
    comes last. Raises OutputError for a link in the way, OSError for a disk that refuses; then all is as it was.
    """
    place = folder / RUN
    names = list(files)
    leaving = [name for name in (*reversed(names), *gone) if os.path.lexists(os.path.join(folder, name))]  # noqa: PTH118
    known: set[str] = set()
    for name in (*names, *gone):
        inside(folder, name, known)
    try:
        place.mkdir(mode=0o700)
        (place / "new").mkdir()
        (place / "old").mkdir()
        digests = {}
        for index, name in enumerate(names):
            mode = PRIVATE if name in private else 0o666
            digests[name] = _write(place / "new" / str(index), files[name], mode, len(names) <= FEW)
        if len(names) > FEW and hasattr(os, "sync"):
            os.sync()
        _write_journal(place, digests, leaving)
        for index, name in enumerate(leaving):
            (folder / name).rename(place / "old" / str(index))
        made = set[str]()
        for index, name in enumerate(names):
            _place(place / "new" / str(index), folder, name, "was written by somebody else just now", _AGAIN, made)
        for parent in {(folder / name).parent for name in (*names, *leaving)} | {folder}:
            settle_names(parent)
        (place / JOURNAL).rename(place / FINISHED)
    except BaseException:
        with suppress(OSError, OutputError):  # what cannot be undone now is undone by the next run
            undo(folder)
        raise
    _drop_empty(folder, gone)
    shutil.rmtree(place)


_AGAIN = "run this again when nobody else writes to the folder"
_KEPT = "move it away and run this again; the earlier one is kept until then"


def undo(folder: Path) -> bool:
    """Take back what a run left that was cut short, and clear it away; whether there was anything. The lock must be
    held.

    Raises OutputError where somebody has written to a file since, or the leavings cannot be read; OSError.
    """
    place = folder / RUN
    try:
        if not stat.S_ISDIR(place.lstat().st_mode):
            raise OutputError(f"{place.as_posix()} is in the way", "move it away, or name another folder")
    except FileNotFoundError:
        return False
    if (place / JOURNAL).is_file():
        _take_back(folder, place)
        (place / JOURNAL).rename(place / FINISHED)
    shutil.rmtree(place)
    return True


def _take_back(folder: Path, place: Path) -> None:
    try:
        journal = json.loads((place / JOURNAL).read_text(encoding="utf-8"))
        new, old = dict(journal["new"]), list(journal["old"])
        readable = all(isinstance(name, str) and is_safe(name) for name in (*new, *old))
    except (ValueError, KeyError, TypeError, RecursionError):
        readable = False
    if not readable:
        raise OutputError(
            f"{place.as_posix()} is left from a run that was cut short, and cannot be read",
            "look for your files in it, then move it away",
        )
    moved = {name for index, name in enumerate(old) if os.path.lexists(place / "old" / str(index))}
    for index, (name, made) in enumerate(new.items()):
        came = not os.path.lexists(place / "new" / str(index)) and (name in moved or name not in old)
        if came and is_file_of(inside(folder, name), [made]):
            (folder / name).unlink()
    for index, name in enumerate(old):
        if name not in moved:
            continue
        _place(place / "old" / str(index), folder, name, "was changed after a run was cut short", _KEPT, set())
    _drop_empty(folder, [name for name in new if name not in old])


def inside(folder: Path, name: str, known: set[str] | None = None) -> Path:
    """The path of ``name`` below ``folder``. Raises OutputError for a name that would leave it, or a link in it.

    ``known`` are sub-folders that need no second look among many names; those looked at are added.
    """
    if not is_safe(name):
        raise OutputError(f"{name[:80]!r} cannot be the name of a file", "name it with letters, digits and hyphens")
    below = name.rpartition("/")[0]
    if below and (known is None or below not in known):
        path = folder
        for step in below.split("/"):
            path = path / step
            if path.is_symlink() or (path.exists() and not path.is_dir()):
                raise OutputError(f"{path.as_posix()} is not a folder of entryprep's", "move it away")
        if known is not None:
            known.add(below)
    return folder / name


def is_file_of(path: Path, digests: Collection[str]) -> bool:
    """Whether a plain file, no link, stands there and holds one of these contents."""
    return bool(digests) and not path.is_symlink() and path.is_file() and digest(path) in digests


def _write(path: Path, content: Content, mode: int, at_once: bool) -> str:
    """Write one file with these permissions, as far as the umask lets; its digest."""
    made = hashlib.sha256()
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), mode)
    with os.fdopen(handle, "wb") as stream:
        for part in _parts(content):
            made.update(part)
            stream.write(part)
        stream.flush()
        if at_once:
            os.fsync(handle)
    return made.hexdigest()


def _parts(content: Content) -> Iterator[bytes]:
    if isinstance(content, bytes):
        yield content
    elif isinstance(content, Spooled):
        content.stream.seek(content.start)
        left = content.length
        while left and (part := content.stream.read(min(left, CHUNK))):
            left -= len(part)
            yield part
    else:
        with content.open("rb") as source:
            while part := source.read(CHUNK):
                yield part


def _write_journal(place: Path, new: Mapping[str, str], old: Collection[str]) -> None:
    text = json.dumps({"new": dict(new), "old": list(old)}) + "\n"
    _write(place / "journal.part", text.encode(), 0o666, True)
    settle_names(place / "new")
    (place / "journal.part").rename(place / JOURNAL)
    settle_names(place)
    settle_names(place.parent)


def settle_names(folder: Path) -> None:
    """Have the names of a folder written to the disk, where the system can."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _place(ready: Path, folder: Path, name: str, taken: str, fix: str, known: set[str]) -> None:
    """Rename a file to where it belongs. Raises OutputError, saying that it is ``taken``, where something stands.

    Sub-folders of ``known`` are there; the others are made."""
    below = name.rpartition("/")[0]
    is_new = below not in known
    target = inside(folder, name, known)
    if is_new:
        target.parent.mkdir(parents=True, exist_ok=True)
        known.add(below)
    if os.path.lexists(target):
        raise OutputError(f"{target.as_posix()} {taken}", fix)
    ready.rename(target)


def _drop_empty(folder: Path, names: Collection[str]) -> None:
    """Take away folders that held nothing but these files."""
    for parent in {(folder / name).parent for name in names} - {folder}:
        with suppress(OSError):
            while parent != folder:
                parent.rmdir()
                parent = parent.parent  # noqa: PLW2901 - upwards
