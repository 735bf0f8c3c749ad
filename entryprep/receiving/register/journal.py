"""The journal of a register: one line of JSON for each change, only ever added to.

A line has ``n`` (1, 2, 3 …), ``at``, ``what``, ``who`` and ``why``, and whatever the kind of change needs. A run that
is killed may leave part of a line. The next one that writes ends that line and adds one of kind ``mended`` that names
it: nothing is ever cut off, and what was left of the line can still be read by a person.
"""

from __future__ import annotations

import json
import os
import stat
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from entryprep.errors import EntryprepError
from entryprep.staging import PRIVATE, settle_names

JOURNAL = "journal.jsonl"
FORMAT = 1
MENDED = "mended"
_HEAD = ("n", "at", "what", "who", "why")
_RESTORE = "put back a copy of the file from before it was changed; nothing was written to it now"


class RegisterError(EntryprepError):
    """A register that cannot be used, or a change that cannot be made; ``fix`` says what to do."""


@dataclass(frozen=True, slots=True)
class Change:
    """One change: its number from 1, when (ISO 8601), of which kind, who made it, why, and what it says besides."""

    n: int
    at: str
    what: str
    who: str = ""
    why: str = ""
    said: Mapping[str, Any] = field(default_factory=dict)

    def line(self) -> bytes:
        """The change as its line in the journal; what nobody said is left out."""
        head = {"n": self.n, "at": self.at, "what": self.what, "who": self.who, "why": self.why}
        kept = {name: value for name, value in head.items() if value != ""}
        # letters beyond ASCII stay readable; half a pair of them, which no file can hold, is escaped
        text = json.dumps({**kept, **self.said}, ensure_ascii=False, separators=(", ", ": "))
        return text.encode("utf-8", "backslashreplace") + b"\n"


@dataclass
class Journal:
    """The journal as it was read: its changes, lines that a kill left unfinished, whether its last line is ended."""

    path: Path
    changes: list[Change] = field(default_factory=list)
    torn: list[int] = field(default_factory=list)
    lines: int = 0
    ended: bool = True

    def append(self, changes: Sequence[Change]) -> None:
        """Add changes and have them on the disk when this returns; the lock of the folder must be held. Raises OSError.

        The first of them must be the one that :func:`mending` makes, where a line was left unfinished.
        """
        if not changes:
            return
        new = not self.path.exists()
        flags = os.O_WRONLY | os.O_APPEND | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
        handle = os.open(self.path, flags, PRIVATE)
        with os.fdopen(handle, "wb") as stream:
            stream.write((b"" if self.ended else b"\n") + b"".join(change.line() for change in changes))
            stream.flush()
            os.fsync(handle)
        if new:
            settle_names(self.path.parent)
        self.changes += changes
        self.lines += len(changes)
        self.torn, self.ended = [], True

    @property
    def next(self) -> int:
        """The number of the next change."""
        return len(self.changes) + 1


def read_journal(path: Path) -> Journal:
    """The journal at ``path``; an empty one where there is no file.

    Raises RegisterError for a journal that was changed by other hands, lacks lines, or was written by a later version.
    """
    journal = Journal(path)
    try:
        if not stat.S_ISREG(path.lstat().st_mode):
            raise RegisterError("this is not a plain file", "move it away", path.as_posix())
        content = path.read_bytes()
    except FileNotFoundError:
        return journal
    except OSError as error:
        raise RegisterError(
            f"the journal cannot be read: {error.strerror}", "mend its permissions", path.as_posix()
        ) from None
    *lines, last = content.split(b"\n")
    journal.ended = not last
    lines += [last] if last else []
    journal.lines = len(lines)
    for number, line in enumerate(lines, 1):
        change = _change(line)
        if change is None:
            journal.torn.append(number)
            continue
        if journal.torn and not (change.what == MENDED and set(journal.torn) <= set(change.said.get("lines", ()))):
            raise RegisterError("the line is no change of a register", _RESTORE, f"{path.as_posix()}:{journal.torn[0]}")
        journal.torn = []
        if change.n != journal.next:
            raise RegisterError(
                f"change {change.n} stands where change {journal.next} should", _RESTORE, f"{path.as_posix()}:{number}"
            )
        if change.n == 1 and change.said.get("format", FORMAT) != FORMAT:
            raise RegisterError(
                f"the register has format {change.said['format']!r}, this version knows {FORMAT}",
                "use the version of entryprep that wrote it, or a later one",
                f"{path.as_posix()}:1",
            )
        journal.changes.append(change)
    return journal


def mending(journal: Journal, at: str) -> list[Change]:
    """The change that says which lines were left unfinished; none where all is whole."""
    if not journal.torn:
        return []
    why = "a run was cut short while it wrote this; what it had told is all there"
    return [Change(journal.next, at, MENDED, "", why, {"lines": list(journal.torn)})]


def _change(line: bytes) -> Change | None:
    """A line as a change, or None where it is none."""
    try:
        said = json.loads(line)
    except (ValueError, RecursionError):
        return None
    if not isinstance(said, dict):
        return None
    n = said.pop("n", 0)
    at, what, who, why = texts = [said.pop(name, "") for name in _HEAD[1:]]
    if type(n) is not int or not all(isinstance(text, str) for text in texts) or not what:
        return None
    return Change(n, at, what, who, why, said)
