"""Opening a record: whatever is wrong with the file itself becomes one finding."""

from __future__ import annotations

import os
import stat
from collections.abc import Sequence
from pathlib import Path
from typing import BinaryIO

from entryprep.findings import Finding, Severity
from entryprep.reading.yamltext import MAX_BYTES, Document, RecordError, parse_yaml


def read_yaml(path: Path, shown_as: str = "") -> Document:
    """Read one YAML record from disk; ``shown_as`` is the name used in messages.

    Raises RecordError for a file that is missing, no plain file, unreadable, over 2 MB or not YAML.
    """
    name = shown_as or path.as_posix()
    return parse_yaml(read_content(path, name, MAX_BYTES), name)


def read_content(path: Path, name: str, limit: int) -> bytes:
    """The bytes of a plain file of at most ``limit`` bytes; ``name`` is the one used in messages.

    Raises RecordError for a file that is missing, no plain file, unreadable or too large.
    """
    try:
        with open_plain(path, name) as stream:
            size = os.fstat(stream.fileno()).st_size
            if size > limit:
                what = f"the file has {size / 1e6:.1f} MB; records of at most {limit / 1e6:.0f} MB are read"
                raise RecordError([_finding(name, what, "check that this is the right file, or split it")])
            return stream.read(limit + 1)
    except FileNotFoundError:
        raise RecordError([_finding(name, "there is no such file", "check the name and the folder")]) from None
    except PermissionError:
        raise RecordError([_finding(name, "the file may not be read", "give yourself permission to read it")]) from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise RecordError([_finding(name, f"the file cannot be read: {reason}", _LOOP_HELP)]) from None


def open_plain(path: Path, name: str) -> BinaryIO:
    """A plain file, open for reading; ``name`` is the one used in messages.

    Raises RecordError for a folder, pipe or device, which is not waited for, and OSError or ValueError as open does.
    """
    if not stat.S_ISREG(path.stat().st_mode):
        raise RecordError([_finding(name, "this is not a plain file", "name the file itself")])
    # should a pipe have come in its place since, it is opened without waiting for its other end
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    if not stat.S_ISREG(os.fstat(handle).st_mode):
        os.close(handle)
        raise RecordError([_finding(name, "this is not a plain file", "name the file itself")])
    return os.fdopen(handle, "rb")


_LOOP_HELP = "a link that leads back to itself, or a failing disk, are the usual causes"


def unusable(name: str, what: str, fix: str) -> RecordError:
    """The error for a file that cannot be read at all."""
    return RecordError([Finding("sheet", Severity.ERROR, what, fix=fix, file=name)])


def _finding(name: str, what: str, fix: str) -> Finding:
    return Finding("file", Severity.ERROR, what, fix=fix, file=name)


def twins(paths: Sequence[Path], shown_in: str = "") -> dict[str, Finding]:
    """Records that stand twice, as ``elan.yaml`` and ``elan.yml``: by name without ending, what is said of them.

    Which of the two is meant nobody can know, so neither may be read. ``shown_in`` is the folder's name in messages.
    """
    found: dict[str, Finding] = {}
    by_stem: dict[str, Path] = {}
    for path in paths:
        first = by_stem.setdefault(path.stem, path)
        if first is not path:
            name = f"{shown_in or path.parent.as_posix()}/{path.name}"
            what = f"{first.name} and {path.name} stand beside each other, and neither is read"
            found[path.stem] = _finding(name, what, "keep one of them, or give one another name")
    return found


def yaml_files(folder: Path) -> list[Path]:
    """The ``*.yaml`` and ``*.yml`` files directly in ``folder``, by name; none if there is no such folder.

    Raises RecordError if the folder may not be listed.
    """
    try:
        with os.scandir(folder) as entries:
            names = sorted(e.name for e in entries if e.name.endswith((".yaml", ".yml")) and not e.name.startswith("."))
    except (FileNotFoundError, NotADirectoryError):
        return []
    except OSError as error:
        raise RecordError(
            [_finding(folder.as_posix(), f"the folder cannot be read: {error.strerror}", "check its permissions")]
        ) from None
    return [folder / name for name in names]
