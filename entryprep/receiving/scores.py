"""Scores as they are entered: a row for each judge and entry, checked against the scale; unfinished rows stay open."""

from __future__ import annotations

import re
import sys
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from entryprep.findings import Finding
from entryprep.formats.cells import is_empty
from entryprep.receiving.declaration import Reader
from entryprep.receiving.judgenames import READ, SEVERAL, PanelNames
from entryprep.receiving.numbers import is_valid
from entryprep.tables.faults import named_faults
from entryprep.tables.rules import finding
from entryprep.tables.scales import PARTS, Scale
from entryprep.text import fold, listed, name_key

_YES = {"x", "yes", "y", "1", "vote", "true", "ja", "oui"}
_PRINTED = {"entry", "judge"}  # what stands in every row of a printed sheet of scores
MOST_ROWS = 12  # that a finding names
ROUNDED = 6  # decimals within which two scores are a tie


@dataclass(frozen=True, slots=True)
class Score:
    """What one judge gave one entry. ``total`` is None while points are missing.

    ``marks`` are the points and ``said`` the words for each of PARTS, None or empty where there are none. ``place`` is
    the rank that the panel agreed on, 0 where none is written. ``sheet`` is where it was typed, and ``printing`` the
    printing of flights that this sheet came with, 0 where it is not known.
    """

    number: str
    judge: str
    marks: tuple[float | None, ...]
    total: float | None
    agreed: float | None
    said: tuple[str, ...]
    improve: str
    faults: str
    creative: bool
    row: int
    place: int = 0
    sheet: str = ""
    printing: int = 0

    @property
    def points(self) -> dict[str, float]:
        """Points by part."""
        return {part: mark for part, mark in zip(PARTS, self.marks, strict=True) if mark is not None}

    @property
    def words(self) -> dict[str, str]:
        """Words by part."""
        return {part: text for part, text in zip(PARTS, self.said, strict=True) if text}


@dataclass
class ScoreSheet:
    """Reads the rows of a sheet of scores against a scale; ``known`` are the numbers there are (None: any), ``out``
    those of entries that are not judged, with the entry and how it stands.

    ``names`` are those who sat at the tables, ``own`` the numbers that each person (by name key) entered: a row of
    anybody else, or on an own beer, is refused and told. ``seen`` is shared by sheets that several people filled in:
    what one left empty another may have filled. ``printing`` is that of the flights the sheet came with: one that was
    printed again is read first, and where an earlier one says otherwise that is told once.
    """

    reader: Reader
    scale: Scale
    known: frozenset[str] | None = None
    names: PanelNames | None = None
    own: Mapping[str, Collection[str]] = field(default_factory=dict)
    seen: dict[tuple[str, str], tuple[str, Score]] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)
    out: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    printing: int = 0
    open_rows: int = 0
    _values: dict[float, float] = field(default_factory=dict)
    _read: set[tuple[str, str]] = field(default_factory=set)

    def scores(self) -> Iterator[Score]:
        """Every row that belongs to an entry, in order; what is wrong with the others is told in ``findings``."""
        superseded: dict[str, list[Score]] = {}
        for row in self.reader.sheet.rows():
            self.findings += row.findings
            texts = self.reader.texts(row)
            number = "".join(texts.get("entry", "").split())
            if self._printed_only(number, texts):
                continue
            if not self._number(number, row.number):
                continue
            if not self._judge(number, texts, row.number):
                continue
            score = self._score(number, texts, row.number)
            if score.total is None:
                self.open_rows += 1
            key = (number, name_key(score.judge))
            name, first = self.seen.setdefault(key, (self.reader.sheet.name, score))
            if first is score or not says_something(first):
                self.seen[key] = self.reader.sheet.name, score
                yield score
            elif says_something(score) and not _same(first, score) and 0 < score.printing < first.printing:
                superseded.setdefault(name, []).append(score)
            elif says_something(score) and not _same(first, score):
                case = "" if score.judge else "nameless"
                where = f"row {first.row}" + (f" of {name}" if name != self.reader.sheet.name else "")
                values = {"judge": score.judge[:60], "number": number, "first": where}
                self._tell("score-twice", row.number, "judge", values, case=case)

        flights = self.names.flights if self.names is not None else {}
        for name, those in superseded.items():
            self.findings.append(superseding(those, flights, newer=name))

    def _printed_only(self, number: str, texts: Mapping[str, str]) -> bool:
        """Whether a row holds nothing but what was printed, for an entry or a judge that is no longer there.

        A sheet of scores is printed before entries are withdrawn and judges go: what stays empty there is as it should.
        """
        if not is_valid(number) or any(not is_empty(text) for name, text in texts.items() if name not in _PRINTED):
            return False
        if self.known is not None and number not in self.known:
            return True
        judge = texts.get("judge", "")
        return bool(judge and self.names is not None and not self.names.meant(judge, number)[0])

    def _judge(self, number: str, texts: dict[str, str], row: int) -> bool:
        """Whether the row's judge may score the entry; the name as the panel has it is put in its place."""
        typed = texts.get("judge", "")
        if typed and self.names is not None:
            name, how = self.names.meant(typed, number)
            if not name:
                flight = 0 if how == SEVERAL else self.names.elsewhere(typed)
                case = "several" if how == SEVERAL else "elsewhere" if flight else ""
                names = self.names.panels.get(self.names.flights.get(number, 0), ())
                values = {"judge": typed[:60], "number": number, "flight": flight, "panel": ", ".join(names)}
                self._tell("score-stranger", row, "judge", values, case=case)
                return False
            if how == READ and (typed, name) not in self._read:
                self._read.add((typed, name))
                self._tell("score-name", row, "judge", {"typed": typed[:60], "judge": name})
            texts["judge"] = name
        if number in self.own.get(fold(texts.get("judge", "")), ()):
            self._tell("score-own", row, "judge", {"judge": texts["judge"][:60], "number": number})
            return False
        return True

    def _number(self, number: str, row: int) -> bool:
        if number in self.out:
            entry, standing = self.out[number]
            values = {"number": number, "entry": entry, "standing": standing}
            self._tell("score-number", row, "entry", values, case="out")
            return False
        if self.known is not None and number in self.known:
            return True
        if number and self.known is None:
            return True
        case = "blank" if not number else "" if is_valid(number) else "misread"
        self._tell("score-number", row, "entry", {"number": number[:30]}, case=case)
        return False

    def _score(self, number: str, texts: Mapping[str, str], row: int) -> Score:
        judge = texts.get("judge", "")
        points: dict[str, float] = {}
        whole = True
        for part, most in self.scale.parts.items():
            value = self._value(texts.get(part, ""), part, most, row)
            if value is None:
                whole = False
            else:
                points[part] = value
        total = self._total(texts, points, whole, row)
        score = Score(
            sys.intern(number),
            sys.intern(judge),
            tuple(points.get(part) for part in PARTS),
            total,
            self._value(texts.get("agreed", ""), "agreed", self.scale.top, row, steps=False),
            tuple(texts.get(f"{part}_words", "") for part in PARTS),
            texts.get("improve", ""),
            texts.get("faults", ""),
            texts.get("creative", "").strip().lower() in _YES,
            row,
            self._place(texts.get("place", ""), row),
            self.reader.sheet.name,
            self.printing,
        )
        self._notes(score, whole)
        return score

    def _total(self, texts: Mapping[str, str], points: Mapping[str, float], whole: bool, row: int) -> float | None:
        stated = self._value(texts.get("total", ""), "total", self.scale.top, row)
        if not self.scale.parts:
            return stated
        if not whole:
            return stated if not points else None
        total = round(sum(points.values()), ROUNDED)
        if stated is not None and abs(stated - total) > 1e-6:
            self._tell("score-sum", row, "total", {"total": f"{total:g}", "stated": f"{stated:g}"})
        return total

    def _value(self, text: str, part: str, most: float, row: int, steps: bool = True) -> float | None:
        if is_empty(text):
            return None
        try:
            value = float(text.replace(",", ".")) if text.isascii() and len(text) < 20 else float("nan")
        except ValueError:
            value = float("nan")
        if not 0 <= value <= most:
            self._tell("score-range", row, part, {"part": part, "value": text[:30], "most": f"{most:g}"})
            return None
        if steps and not self.scale.fits(value, most):
            self._tell("score-step", row, part, {"part": part, "value": f"{value:g}", "step": f"{self.scale.step:g}"})
        return self._values.setdefault(value, value)  # the same few numbers come thousands of times

    def _place(self, text: str, row: int) -> int:
        if is_empty(text):
            return 0
        place = place_of(text)
        if not place:
            self._tell("score-place", row, "place", {"place": text[:30]})
        return place

    def _notes(self, score: Score, whole: bool) -> None:
        if score.total is None and (score.points or score.words):
            given = score.points
            missing = [part for part in self.scale.parts if part not in given] or ["total"]
            values = {"number": score.number, "parts": ", ".join(missing)}
            self._tell("score-open", score.row, missing[0], values, case="whole" if whole else "")
        if score.total is not None and score.total < self.scale.floor:
            values = {"number": score.number, "total": f"{score.total:g}", "floor": f"{self.scale.floor:g}"}
            self._tell("score-floor", score.row, "total", values)
        if score.total is not None and not score.judge:
            self._tell("score-judge", score.row, "judge", {"number": score.number})
        for word in named_faults(score.faults)[1] if score.faults else ():
            self._tell("fault-unknown", score.row, "faults", {"number": score.number, "fault": word[:60]})

    def _tell(self, rule: str, row: int, where: str, values: Mapping[str, object], *, case: str = "") -> None:
        self.findings.append(self.reader.sheet.finding(rule, row, self.reader.column(where), values, case=case))


_PLACE = re.compile(r"^\s*(\d{1,3})\s*(?:\.|st|nd|rd|th|er?|º|°)?\s*$", re.IGNORECASE)


def place_of(text: str) -> int:
    """A place from 1 as it is written (2, 2nd, 2.), 0 for what is none."""
    match = _PLACE.match(text)
    return int(match[1]) if match else 0


def whole(scores: Iterable[Score]) -> list[Score]:
    """One score for each judge and entry: that which says something, where one sheet left it empty."""
    kept: dict[tuple[str, str], Score] = {}
    for score in scores:
        kept[score.number, name_key(score.judge)] = score
    return list(kept.values())


def first_said(scores: Iterable[Score]) -> list[Score]:
    """One score for each judge and entry, the first of them."""
    kept: dict[tuple[str, str], Score] = {}
    for score in scores:
        kept.setdefault((score.number, name_key(score.judge)), score)
    return list(kept.values())


def _same(one: Score, other: Score) -> bool:
    return replace(one, row=0, sheet="", printing=0) == replace(other, row=0, sheet="", printing=0)


def superseding(those: Sequence[Score], flights: Mapping[str, int], case: str = "", newer: str = "") -> Finding:
    """What is told, once, of scores of flights that were printed again, where two sheets say different things."""
    again = [str(each) for each in sorted({flights[s.number] for s in those if s.number in flights})]
    named = f"flight{'s' if len(again) > 1 else ''} {listed(again)}" if again else "flights"
    rows = [str(score.row) for score in those]
    values = {
        "flights": f"{named} {'was' if len(again) == 1 else 'were'}",
        "rows": f"row{'s' if len(rows) > 1 else ''} {listed(rows, MOST_ROWS)}",
        "these": "those rows" if len(rows) > 1 else "that row",
        "newer": newer,
    }
    return finding("score-superseded", values, file=those[0].sheet, line=those[0].row, column=1, case=case)


def says_something(score: Score) -> bool:
    """Whether anything stands in a row of scores."""
    return bool(score.points or score.words or score.total is not None or score.improve or score.faults)
