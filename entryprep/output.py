"""Writing results: whole sets of files, in one step, below one folder, never over what somebody else made."""

from __future__ import annotations

import hashlib
import json
import os
import re
from collections.abc import Collection, Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from entryprep.filenames import file_name, is_safe
from entryprep.folderlock import LOCK, OutputError, lock_now, locked
from entryprep.staging import PRIVATE, RUN, Content, Spool, digest, inside, is_file_of, replace_together, undo

__all__ = [
    "MARK",
    "Claimed",
    "Content",
    "OutputError",
    "Spool",
    "claimed",
    "digest",
    "is_ours",
    "part_of",
    "replace_file",
    "sealed",
    "write_new",
    "write_outputs",
    "write_sealed",
    "write_season",
]

MARK = ".entryprep-made.json"
_OURS = {LOCK, RUN}
_TRIES = 5
_ELSEWHERE, _ANOTHER = "name another folder with --out", "name another folder"


@dataclass(frozen=True)
class Claimed:
    """A folder that this run alone writes to; ``known`` are the digests of what earlier runs made there, by name."""

    folder: Path
    known: Mapping[str, tuple[str, ...]]

    def write(
        self,
        files: Mapping[str, Content],
        *,
        replace_all: bool = False,
        replace_below: str = "",
        private: Collection[str] = (),
    ) -> list[Path]:
        """As :func:`write_outputs`, into the claimed folder."""
        with _told(self.folder):
            looked: set[str] = set()
            now = {name: self._replaceable(name, looked) for name in files}
            fresh = {name: digest(content) for name, content in files.items()}
            known = {name: digests for name, digests in self.known.items() if name not in files}
            gone = {n for n in known if replace_all or (replace_below and n.startswith(replace_below))}
            removed = [name for name in gone if is_file_of(inside(self.folder, name), known[name])]
            changed: dict[str, Content] = {
                name: content
                for name, content in files.items()
                if now[name] != fresh[name] or (name in private and not _is_private(self.folder / name))
            }
            kept = {name: list(digests) for name, digests in known.items() if name not in gone}
            made = dict(sorted({**kept, **{name: [made] for name, made in fresh.items()}}.items()))
            mark = (json.dumps({"made": made}, indent=1) + "\n").encode()
            if changed or removed or not is_file_of(self.folder / MARK, [digest(mark)]):
                replace_together(self.folder, {**changed, MARK: mark}, removed, private)
            return [self.folder / name for name in files]

    def is_changed(self, name: str) -> bool:
        """Whether what stands at a name is no longer what a run made there."""
        path = self.folder / name
        return os.path.lexists(path) and not is_file_of(path, self.known.get(name, ()))

    def _replaceable(self, name: str, looked: set[str]) -> str:
        """The digest of what stands at a name of ours, empty where nothing does. Raises OutputError for another's."""
        path = inside(self.folder, name, looked)
        if not os.path.lexists(path):
            return ""
        digests = self.known.get(name, ())
        now = digest(path) if not path.is_symlink() and path.is_file() and digests else ""
        if now not in digests:
            raise OutputError(
                f"{path.as_posix()} was not made by entryprep, or was changed since",
                "move it away, or name another folder with --out",
            )
        return now


@contextmanager
def claimed(folder: Path, beside: Collection[str] = ()) -> Iterator[Claimed]:
    """Claim a folder, new or of earlier runs, for one run; what a run left that was cut short is cleared away.

    Files called as in ``beside`` may stand in a new one. Raises OutputError for a folder of other people's files, one
    that another run is writing to, or a disk that refuses.
    """
    with _told(folder):
        if folder.is_dir() and not any(os.path.lexists(folder / name) for name in (MARK, RUN)):
            _refuse_others(folder, beside)  # before a lock is written there
    with _held(folder, _ELSEWHERE):
        with _told(folder):
            undo(folder)
            made = _made(folder)
            if made is None:
                _refuse_others(folder, beside)
        yield Claimed(folder, made or {})


def write_outputs(
    folder: Path,
    files: Mapping[str, Content],
    *,
    replace_all: bool = False,
    replace_below: str = "",
    private: Collection[str] = (),
) -> list[Path]:
    """Write ``files`` (names relative to ``folder``) in one step and remember their digests in a mark file.

    A file that stands there already is replaced only if the mark says we made it and it is unchanged. With
    ``replace_all`` files of an earlier run that are no longer made are removed, under the same rule; with
    ``replace_below`` those whose names begin so, such as ``letters/``. Files in ``private`` may be read by their owner
    only. Raises OutputError for a folder of other people's files or one that another run is writing to, a name that
    leaves the folder, a changed file, or a disk that refuses; then nothing is changed.
    """
    with claimed(folder) as place:
        return place.write(files, replace_all=replace_all, replace_below=replace_below, private=private)


def write_season(folder: Path, files: Mapping[str, bytes]) -> None:
    """Lay files out in a new or empty folder; they are the user's own from then on, and no mark tells of them.

    What an interrupted run has left there is finished. Raises OutputError for a folder that holds anything else, or a
    disk that refuses.
    """
    full = OutputError(f"{folder.as_posix()} is there already and not empty", "name a new folder")
    with _told(folder, _ANOTHER):
        cut_short = os.path.lexists(folder / LOCK)
        if (
            folder.is_dir()
            and not {p.name for p in folder.iterdir()} <= {name.partition("/")[0] for name in files} | _OURS
        ):
            raise full
    with _held(folder, _ANOTHER), _told(folder, _ANOTHER):
        cut_short = undo(folder) or cut_short
        there = {p.relative_to(folder).as_posix() for p in folder.rglob("*") if not p.is_dir() or p.is_symlink()}
        there -= _OURS
        ours = all(is_file_of(folder / name, [digest(files[name])]) for name in there & set(files))
        begun = there <= set(files) and (cut_short or (ours and len(there) < len(files)))
        if there and not begun:
            raise full
        replace_together(folder, {name: content for name, content in files.items() if name not in there})


def write_new(target: Path, content: bytes) -> None:
    """Write one file where none is yet. Raises OutputError if something stands there, or the disk refuses."""
    taken = OutputError(f"{target.as_posix()} is there already", "name another file, or move that one away")
    with _told(target, "name another file"):
        if target.is_dir():
            raise OutputError(f"{target.as_posix()} is a folder", "name a file in it")
        if os.path.lexists(target) and not os.path.lexists(part_of(target)):
            raise taken
        with _beside(target, content) as part:
            if os.path.lexists(target):
                raise taken
            _place_new(part, target, taken)


_SEAL = re.compile(rb"entryprep-digest:([0-9a-f]{32})", re.IGNORECASE)
_BLANK = b"0" * 32


def sealed(content: bytes, before: bytes, mark: bytes) -> bytes:
    """A file that carries its own digest, so that a later run knows it for ours and unchanged.

    The line is put in front of ``before``; ``mark`` is that line with ``%s`` where ``entryprep-digest:…`` stands.
    """
    place = content.index(before)
    line = mark % (b"entryprep-digest:" + _BLANK)
    whole = content[:place] + line + content[place:]
    return whole.replace(_BLANK, hashlib.sha256(whole).hexdigest()[:32].encode(), 1)


def is_ours(content: bytes) -> bool:
    """Whether a file is one that :func:`sealed` made, and nobody has changed it since."""
    found = _SEAL.search(content)
    if found is None:
        return False
    blank = content[: found.start(1)] + _BLANK + content[found.end(1) :]
    return hashlib.sha256(blank).hexdigest()[:32].encode() == found[1].lower()


def write_sealed(target: Path, content: bytes) -> None:
    """Write a sealed file where none is yet, or in the place of an earlier one of ours that nobody has changed.

    Raises OutputError if anything else stands there, or the disk refuses.
    """
    if not target.is_file() or target.is_symlink():
        write_new(target, content)
        return
    with _told(target, "name another file"):
        there = target.read_bytes()
    if not is_ours(there):
        raise OutputError(
            f"{target.as_posix()} was not made by entryprep, or was changed since",
            "name another file, or move that one away",
        )
    if there != content:
        replace_file(target, there, content)


def replace_file(target: Path, before: bytes, after: bytes) -> None:
    """Put other content in the place of a file that the user asked to have changed, whole or not at all.

    Its permissions stay. Raises OutputError if it no longer holds ``before``, or the disk refuses.
    """
    with _told(target, "check the permissions of the file and its folder"):
        target = target.resolve()
        with _beside(target, after) as part:
            if target.read_bytes() != before:
                raise OutputError(f"{target.name} was changed while it was worked on", "say it again")
            part.chmod(target.stat().st_mode & 0o777)
            part.replace(target)


def part_of(target: Path) -> Path:
    """Where the content of a file is put before it takes its place; a run that was killed may leave it there."""
    return target.with_name(f".entryprep-{file_name(target.name)}.part")


@contextmanager
def _beside(target: Path, content: bytes) -> Iterator[Path]:
    """The content whole on the disk beside where it is to stand, held by this run alone, and gone again at the end."""
    part = part_of(target)
    handle = os.open(part, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o666)
    with os.fdopen(handle, "wb") as stream:
        if not lock_now(handle):
            raise OutputError(f"another run is writing {target.as_posix()}", "wait until it has ended")
        try:
            stream.truncate(0)
            stream.write(content)
            stream.flush()
            os.fsync(handle)
            yield part
        finally:
            with suppress(OSError):
                part.unlink()


def _place_new(part: Path, target: Path, taken: OutputError) -> None:
    try:
        os.link(part, target)
    except FileExistsError:
        raise taken from None
    except OSError:  # a file system without hard links
        if os.path.lexists(target):
            raise taken from None
        part.rename(target)


@contextmanager
def _held(folder: Path, fix: str) -> Iterator[None]:
    """Make the folder if need be, and hold its lock; a folder made here that stays empty is taken away again."""
    file = next((path for path in (folder, *folder.parents) if path.exists() and not path.is_dir()), None)
    if file is not None:
        raise OutputError(f"{file.as_posix()} is a file, and a folder is wanted", fix)
    with ExitStack() as stack:
        with _told(folder, fix):
            for turn in range(_TRIES):
                made = [path for path in (folder, *folder.parents) if not path.exists()]
                folder.mkdir(parents=True, exist_ok=True)
                stack.callback(_drop, made)
                try:
                    stack.enter_context(locked(folder))
                except FileNotFoundError:  # another run that made the folder has just taken it away again
                    if turn == _TRIES - 1:
                        raise
                else:
                    break
        yield


def _drop(folders: list[Path]) -> None:
    with suppress(OSError):
        for folder in folders:
            folder.rmdir()


@contextmanager
def _told(path: Path, fix: str = _ELSEWHERE) -> Iterator[None]:
    """What the system refuses becomes a message."""
    try:
        yield
    except OSError as error:
        raise OutputError(f"{path.as_posix()}: cannot be written: {error.strerror or error}", fix) from None


def _made(folder: Path) -> dict[str, tuple[str, ...]] | None:
    """What the mark says, or None where there is none that can be trusted."""
    mark = folder / MARK
    if mark.is_symlink() or not mark.is_file():
        return None
    try:
        listed = json.loads(mark.read_bytes())["made"]
        made = {str(name): tuple(str(d) for d in digests) for name, digests in listed.items()}
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None
    return made if all(map(is_safe, made)) else None


def _refuse_others(folder: Path, beside: Collection[str]) -> None:
    if any(entry.name not in _OURS and entry.name not in beside for entry in folder.iterdir()):
        raise OutputError(
            f"{folder.as_posix()} holds files that entryprep did not make",
            "name another folder with --out, or an empty one",
        )


def _is_private(path: Path) -> bool:
    return path.stat().st_mode & 0o777 & ~PRIVATE == 0
