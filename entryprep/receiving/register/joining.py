"""A form taken into the register: which row is which entry, what is new, what changed, and what has to be asked.

Rows that are word for word as they were are found first, then those by what identifies them; a row that may be two
things is asked about and waits. The work is in proportion to the rows and the entries.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from entryprep.receiving.declaration import Reader
from entryprep.receiving.register.book import Register
from entryprep.receiving.register.identity import Evidence, digest_of, evidence, name_of
from entryprep.receiving.register.state import OUT, WITHDRAWN, Entry
from entryprep.text import shortened

Effect = dict[str, Any]
SETTLED = "settled"  # the answer of a question that a later form no longer raises


@dataclass
class Joined:
    """What came of a form: the entry of each row that is one (by row number), and what is new in the register."""

    ids: dict[int, str] = field(default_factory=dict)
    new: list[str] = field(default_factory=list)
    changed: list[str] = field(default_factory=list)
    raised: set[int] = field(default_factory=set)


@dataclass
class _Line:
    row: int
    cells: tuple[str, ...]
    texts: Mapping[str, str]
    known: Evidence


def join(register: Register, reader: Reader, file: str, club: str = "") -> Joined:
    """Take the rows of a sheet into a register. ``file`` is the form's own name, ``club`` whose form it is (empty: the
    competition's). What is told of the sheet while its rows are read is told when they are checked."""
    sheet = reader.sheet
    told = list(sheet.findings)
    columns = [(m.column, m.field, m.how) for m in reader.matches]
    lines = []
    for row in sheet.rows():
        texts = reader.read(row).texts
        lines.append(_Line(row.number, row.cells, texts, evidence(reader.fields, row.cells, club)))
    sheet.findings[:] = told
    form = digest_of((*sheet.header, *(f"{c} {name}" for c, name, _ in columns)))
    if form not in register.state.forms:
        register.note("columns", form=form, header=list(sheet.header), columns=[list(each) for each in columns])
    return _Joining(register, f"{club}/{file}" if club else file, club, form).all(lines)


class _Joining:
    def __init__(self, register: Register, name: str, club: str, form: str) -> None:
        self.register, self.state = register, register.state
        self.name, self.club, self.form = name, club, form
        self.done = Joined()
        self.claimed: set[str] = set()
        self.in_question: set[str] = set()
        self.before = {entry.id: set(entry.files) for entry in self.state.entries.values()}

    def all(self, lines: Sequence[_Line]) -> Joined:
        """Every row, then what is missing from the form or back in it."""
        rest = [line for line in lines if not self._as_it_was(line)]
        for line in rest:
            self._found(line)
        came = [each for each in self.done.ids.values() if self.name not in self.state.entries[each].files]
        back = [each for each in self.done.ids.values() if each in self.before and not self.before[each]]
        gone = self._gone()
        digest = digest_of([line.known.words for line in lines])
        file = self.state.files.get(self.name)
        if came or gone or file is None or file["digest"] != digest:
            said = {"rows": len(lines), "digest": digest, **({"club": self.club} if self.club else {})}
            said |= {"new": came} if came else {}
            self.register.note("form", file=self.name, **said)
            for each, files in gone.items():
                self._vanished(self.state.entries[each], files)
        for each in back:
            self._returned(self.state.entries[each])
        for question in self.state.open_questions():
            if question.file == self.name and question.row and question.q not in self.done.raised:
                self.register.note("decided", "the form no longer raises it", q=question.q, answer=SETTLED)
        return self.done

    def _as_it_was(self, line: _Line) -> bool:
        for entry in self.state.had("words", "", line.known.words):
            if line.known.words in entry.outdated and entry.known.club == self.club:
                return True  # earlier words of an entry, as somebody decided
            same = entry.known.words == line.known.words and entry.known.club == self.club
            if same and entry.id not in self.claimed:
                self._claim(line, entry)
                return True
        return False

    def _claim(self, line: _Line, entry: Entry) -> None:
        self.claimed.add(entry.id)
        self.done.ids[line.row] = entry.id
        if entry.cells != line.cells or entry.form != self.form:
            self._declare(line, entry)

    def _declare(self, line: _Line, entry: Entry) -> None:
        moved, entry_moved = entry.moved, dict(entry.moved)
        entry.moved = {}
        was = self.state.texts(entry)
        entry.moved = moved
        now = line.texts
        fields = {f: [was.get(f, ""), now.get(f, "")] for f in sorted({*was, *now}) if was.get(f, "") != now.get(f, "")}
        self.register.note("declared", **self._row(line), entry=entry.id, fields=fields)
        if fields:
            self.done.changed.append(entry.id)
        for name in sorted(set(fields) & set(entry_moved)):
            back: Effect = {"what": "unmoved", "entry": entry.id, "fields": [name]}
            if now.get(name, "") == entry_moved[name]:
                self.register.note_all([back], "the form now says the same")
                continue
            values = {"field": name, "sheet": shortened(now.get(name, "")) or "nothing", "here": entry_moved[name]}
            key = f"moved\x1f{entry.id}\x1f{name}\x1f{now.get(name, '')}"
            self._ask("register-moved", key, entry, values, {"sheet": [back], "register": []}, line)

    def _row(self, line: _Line) -> Effect:
        return {"form": self.form, "cells": list(line.cells), **({"club": self.club} if self.club else {})}

    def _found(self, line: _Line) -> None:
        """A row that is not word for word as an entry was."""
        known = line.known
        if known.number:
            same = [e for e in self.state.had("number", self.club, known.number) if e.known.number == known.number]
            free = [entry for entry in same if entry.id not in self.claimed]
            best = _best(free, known)
            if best is not None:
                self._claim(line, best)
                return
            if same:
                self._clash(line, free, same)
                return
        sent = [e for person in known.people for e in self.state.had("sent", person, known.sent) if known.sent]
        beer = [e for person in known.people for e in self.state.had("beer", person, known.beer) if known.beer]
        for entry in (*sent, *beer):  # the same person's: sent at the same time, or the same beer
            fits = not (known.number and entry.known.number) and (
                not known.sent or not entry.known.sent or entry in sent
            )
            if fits and entry.known.club == self.club and entry.id not in self.claimed:
                self._claim(line, entry)
                return
        alike = next((e for e in beer if set(e.known.people) & set(known.people) and e.known.beer == known.beer), None)
        if alike is not None:
            later = bool(known.sent and alike.known.sent and known.sent != alike.known.sent and not known.number)
            self._double(line, alike, "register-again" if later else "register-double")
            return
        self._enter(line)

    def _clash(self, line: _Line, free: Sequence[Entry], same: Sequence[Entry]) -> None:
        """A number that an entry has which agrees in nothing, or which stands in this form already."""
        entry = (free or same)[0]
        if not free and line.known.agrees(entry.known) > 0 and line.known.beer == entry.known.beer:
            self._double(line, entry, "register-double")
            return
        answers: dict[str, list[Effect]] = {"apart": [self._entering(line)], "same": [self._declaring(line, entry)]}
        if not free:
            del answers["same"]
        values = {"written": line.known.written, "says": _said(line.texts), "has": _said(self.state.texts(entry))}
        case = "" if free else "twice"
        self._ask("register-clash", line.known.key, entry, values, {**answers, "out": []}, line, case)

    def _double(self, line: _Line, entry: Entry, kind: str) -> None:
        values = {"says": _said(line.texts), "called": line.known.written or _said(line.texts)}
        same = [self._declaring(line, entry)] if kind == "register-again" else []
        answers: dict[str, list[Effect]] = {"same": same, "apart": [self._entering(line)]}
        answers |= {"out": []} if same else {}
        self._ask(kind, line.known.key, entry, values, answers, line)

    def _entering(self, line: _Line) -> Effect:
        return {"what": "entered", "entry": name_of(line.known), "file": self.name, **self._row(line)}

    def _declaring(self, line: _Line, entry: Entry) -> Effect:
        now, was = line.texts, self.state.texts(entry)
        fields = {f: [was.get(f, ""), now.get(f, "")] for f in sorted({*was, *now}) if was.get(f, "") != now.get(f, "")}
        return {"what": "declared", "entry": entry.id, "fields": fields, "instead": True, **self._row(line)}

    def _enter(self, line: _Line) -> None:
        said = self._entering(line)
        said["entry"] = self.state.free_name(said["entry"])
        self.register.note_all([said])
        self.claimed.add(said["entry"])
        self.done.ids[line.row] = said["entry"]
        self.done.new.append(said["entry"])

    def _ask(
        self,
        kind: str,
        key: str,
        entry: Entry,
        values: Mapping[str, Any],
        answers: Mapping[str, Sequence[Effect]],
        line: _Line | None,
        case: str = "",
    ) -> None:
        """Ask, unless it was asked before: then the answer of that time stands, or it is still open."""
        self.in_question.add(entry.id)
        turn, first = 1, f"{kind}\x1f{key}"
        key = first
        while (number := self.state.asked.get(key)) is not None:
            answer = self.state.questions[number].answer
            if answer == SETTLED:
                break
            if number not in self.done.raised and answer != "apart":
                self.done.raised.add(number)
                return
            turn += 1  # one more of what was asked about
            key = f"{first}\x1f{turn}"
        number = len(self.state.questions) + 1
        self.done.raised.add(number)
        said: dict[str, Any] = {"q": number, "kind": kind, "key": key, "about": entry.id, "values": dict(values)}
        said |= {"case": case} if case else {}
        said |= {"file": self.name, "row": line.row} if line is not None else {"file": self.name}
        self.register.note("asked", **said, answers={answer: list(effects) for answer, effects in answers.items()})

    def _gone(self) -> dict[str, list[str]]:
        """Entries no longer in this form, each with the names of its forms; an older form that this one mostly repeats
        counts as this one."""
        all_of, kept = Counter[str](), Counter[str]()
        found = set(self.done.ids.values())
        missing: list[tuple[str, set[str]]] = []
        for each, files in self.before.items():
            if self.state.entries[each].known.club != self.club:
                continue
            all_of.update(files)
            if each in found:
                kept.update(files)
            elif files:
                missing.append((each, files))
        again = {name for name, count in all_of.items() if name == self.name or 2 * kept[name] >= count}
        return {each: sorted(files & again) for each, files in missing if files & again}

    def _vanished(self, entry: Entry, files: Sequence[str]) -> None:
        self.register.note("vanished", entry=entry.id, files=list(files))
        if entry.standing not in OUT and not entry.files and entry.id not in self.in_question:
            out: Effect = {"what": "withdrawn", "entry": entry.id}
            values = {"says": _said(self.state.texts(entry))}
            key = f"{entry.id}\x1f{self.state.last}"
            self._ask("register-vanished", key, entry, values, {"out": [out], "stays": []}, None)

    def _returned(self, entry: Entry) -> None:
        for question in self.state.open_questions():
            if question.kind == "register-vanished" and question.about == entry.id:
                self.register.note("decided", "it is back in the form", q=question.q, answer=SETTLED)
        if entry.standing == WITHDRAWN:
            back: Effect = {"what": "reentered", "entry": entry.id}
            values = {"says": _said(self.state.texts(entry))}
            key = f"{entry.id}\x1f{self.state.last}"
            self._ask("register-returned", key, entry, values, {"back": [back], "out": []}, None)


def _best(entries: Iterable[Entry], known: Evidence) -> Entry | None:
    """The one entry that agrees most with a row, where one does; None where none agrees, or two do equally."""
    graded = sorted(((entry.known.agrees(known), entry) for entry in entries), key=lambda pair: -pair[0])
    if not graded or graded[0][0] < 0:
        return None
    if len(graded) > 1 and graded[0][0] == graded[1][0]:
        return None
    return graded[0][1]


def _said(texts: Mapping[str, str]) -> str:
    """Who and what, in a few words."""
    words = [shortened(texts[name]) for name in ("brewer", "beer", "style") if texts.get(name)]
    return ", ".join(words) or "an entry without a name"
