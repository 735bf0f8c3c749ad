"""The competition a register is of: its file stands in the register's folder, and every command uses that one.

The file is its owner's, who may edit it there; the journal keeps each version of it. Another file that is named later
is asked about.
"""

from __future__ import annotations

from pathlib import Path

from entryprep.findings import Finding
from entryprep.output import digest, replace_file, write_new
from entryprep.reading.files import read_content
from entryprep.reading.yamltext import MAX_BYTES
from entryprep.receiving.codes import COMPETITION
from entryprep.receiving.register.book import Register
from entryprep.receiving.register.journal import RegisterError
from entryprep.records.competition import Competition, read_competition
from entryprep.tables.rules import finding
from entryprep.text import listed

TAKE, KEEP = "take", "keep"
KIND = "register-competition"


def hold_competition(register: Register, told: Path | None = None) -> tuple[Competition | None, list[Finding]]:
    """The competition of a register and what is told of its file; None where it has none yet.

    The first file that is ``told`` is put into the register. Another one later is asked about, and the register's own
    counts meanwhile; one that is only read refuses it. Raises RecordError for a broken file, OutputError for a disk
    that refuses, RegisterError for a register that is only read and another file.
    """
    path, kept = register.folder / COMPETITION, register.state.competition.get("text")
    if register.place is None:
        return _read(path, told), []
    findings = []
    if path.exists():
        text, cup = _text(path), read_competition(path)
        if text != kept:
            register.note("competition", name=cup.name, text=text)
            if kept is not None:
                findings.append(finding("register-competition-edited", {"file": COMPETITION}, file=path.as_posix()))
    elif kept is not None:  # somebody took it away
        write_new(path, _bytes(kept))
        cup = read_competition(path)
    elif told is not None:
        cup, text = read_competition(told), _text(told)
        write_new(path, _bytes(text))
        register.note("competition", name=cup.name, text=text)
        return cup, []
    else:
        return None, []
    if told is not None and (other := read_competition(told)) != cup:
        findings += _asked(register, told, cup, other)
    return cup, findings


def is_edited(register: Register) -> bool:
    """Whether the competition's file in a register is another than the journal has. Raises RecordError for one that
    cannot be read."""
    path = register.folder / COMPETITION
    return path.is_file() and _text(path) != register.state.competition.get("text")


def _read(path: Path, told: Path | None) -> Competition | None:
    """The competition of a register that is only read."""
    cup = read_competition(path) if path.exists() else None
    other = read_competition(told) if told is not None else None
    if cup is not None and other is not None and other != cup:
        raise RegisterError(
            f"{told} is not the competition of this register: they differ in {_differing(cup, other)}",
            "leave --competition out; to put the other file in: entryprep register FOLDER --competition FILE",
            path.as_posix(),
        )
    return cup or other


def _asked(register: Register, told: Path, cup: Competition, other: Competition) -> list[Finding]:
    """Ask which of two files counts, once for the same two; an answer of before is told."""
    state, file = register.state, told.as_posix()
    key = "\x1f".join((KIND, *(digest(each.model_dump_json().encode("utf-8", "replace")) for each in (cup, other))))
    number = state.asked.get(key)
    if number is not None:
        if not state.questions[number].answer:
            return []  # it is told with all that is asked
        return [finding(KIND, {"file": file, "q": number}, file=file, case="decided")]
    number = len(state.questions) + 1
    said = {"q": number, "kind": KIND, "key": key, "values": {"file": file, "differs": _differing(cup, other)}}
    taken = {"what": "competition", "name": other.name, "text": _text(told)}
    register.note("asked", **said, file=file, answers={TAKE: [taken], KEEP: []})
    return []


def _differing(cup: Competition, other: Competition) -> str:
    """In which of their fields two competitions differ."""
    return listed(name for name in type(cup).model_fields if getattr(cup, name) != getattr(other, name))


def put_in_place(register: Register) -> None:
    """Write the file as the register now has it. Raises OutputError for a disk that refuses, RegisterError for a
    link, behind which the file is somebody else's."""
    path, text = register.folder / COMPETITION, _bytes(register.state.competition["text"])
    if path.is_symlink():
        raise RegisterError("competition.yaml is a link", "put the file itself there, then decide", path.as_posix())
    if not path.exists():
        write_new(path, text)
    elif (before := path.read_bytes()) != text:
        replace_file(path, before, text)


def _text(path: Path) -> str:
    """What a file says; whatever is no UTF-8 is kept byte by byte."""
    return read_content(path, path.as_posix(), MAX_BYTES).decode("utf-8", "surrogateescape")


def _bytes(text: str) -> bytes:
    return text.encode("utf-8", "surrogateescape")
