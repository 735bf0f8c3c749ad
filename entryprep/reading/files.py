"""Opening a record: whatever is wrong with the file itself becomes one finding."""

from __future__ import annotations

import os
import stat
from pathlib import Path

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
        info = path.stat()
        if not stat.S_ISREG(info.st_mode):
            raise RecordError([_finding(name, "this is not a plain file", "name the file itself")])
        if info.st_size > limit:
            size = f"{info.st_size / 1e6:.1f} MB"
            raise RecordError(
                [
                    _finding(
                        name,
                        f"the file has {size}; records of at most {limit / 1e6:.0f} MB are read",
                        "check that this is the right file, or split it",
                    )
                ]
            )
        with path.open("rb") as stream:
            return stream.read(limit + 1)
    except FileNotFoundError:
        raise RecordError([_finding(name, "there is no such file", "check the name and the folder")]) from None
    except PermissionError:
        raise RecordError([_finding(name, "the file may not be read", "give yourself permission to read it")]) from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise RecordError([_finding(name, f"the file cannot be read: {reason}", _LOOP_HELP)]) from None


_LOOP_HELP = "a link that leads back to itself, or a failing disk, are the usual causes"


def unusable(name: str, what: str, fix: str) -> RecordError:
    """The error for a file that cannot be read at all."""
    return RecordError([Finding("sheet", Severity.ERROR, what, fix=fix, file=name)])


def _finding(name: str, what: str, fix: str) -> Finding:
    return Finding("file", Severity.ERROR, what, fix=fix, file=name)


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
