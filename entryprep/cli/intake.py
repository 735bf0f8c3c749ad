"""``intake``: a sheet of declarations, checked row by row, and what goes out of it."""

from __future__ import annotations

import datetime as dt
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Any

from entryprep.cli.boundary import FINDINGS, UsageProblem
from entryprep.cli.progress import working
from entryprep.cli.show import MARK_STYLES, MARKS, clean, console, json_text, paragraph
from entryprep.cli.spreadsheets import columns_json, columns_of, opened, show_columns, tell_sheet
from entryprep.findings import Severity
from entryprep.formats.columns import Match
from entryprep.formats.spreadsheet import Sheet
from entryprep.output import Claimed, OutputError, claimed
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import CAUTIONS, Declaration, Reader
from entryprep.receiving.intake import declarations
from entryprep.receiving.letters import Letters
from entryprep.receiving.numbers import drawn
from entryprep.receiving.outputs import (
    JUDGING_COLUMNS,
    KEY_COLUMNS,
    Annotated,
    EntryKeys,
    SortedRows,
    declared_json,
    judging_row,
    key_row,
    read_key,
)
from entryprep.tables.styles import load_styles
from entryprep.text import counted

_OPEN = {"unsettled": "may mean several styles", "unknown": "no style we have", "missing": "no style declared"}
TICK = 50
KEY, JUDGING, CHECKED = "key.csv", "judging.csv", "checked.csv"


@dataclass
class Count:
    """What was found, counted."""

    entries: int = 0
    how: Counter[str] = field(default_factory=Counter)
    severities: Counter[str] = field(default_factory=Counter)
    questions: int = 0
    asked: int = 0

    def add(self, declared: Declaration) -> None:
        """Count one entry."""
        self.entries += 1
        self.how[declared.named.how] += 1
        self.questions += len(declared.questions)
        self.asked += bool(declared.questions)
        self.severities.update(f.severity.value for f in declared.findings)


def run(
    file: Path | None,
    options: Sequence[str],
    encoding: str,
    separator: str,
    bottles: int,
    judged: str,
    out: Path | None,
    seed: str,
    rows: int,
    as_json: bool,
) -> None:
    """``entryprep intake``."""
    day = _day(judged)
    if seed and not out:
        raise UsageProblem("--seed draws blind numbers, which have to be written", "give --out FOLDER as well")
    if seed and not seed.strip():
        raise UsageProblem("--seed is blank", "give it words only you know, such as --seed 'four words of yours'")
    with opened(file, "declarations", encoding, separator) as sheet, _spool() as listed:
        with ExitStack() as stack:  # the files first, then words: nobody who stops listening stops the work
            matches = columns_of(sheet, "declarations", options, ("style",))
            place = stack.enter_context(claimed(out)) if out else None
            numbers = _numbers(sheet, matches, out, seed)
            check = CheckIn(Reader(sheet, matches), load_styles(), bottles, day)
            taken = _Taken(check, numbers, stack.enter_context(_spool()) if place else None)
            step = stack.enter_context(working("checking"))
            checked = _ticking(taken.through(declarations(check)), step)
            shown, more = ([], _list_json(checked, listed)) if as_json else _first(checked, rows)
            paths = _written(taken, place) if place else []
        if as_json:
            _write_json(sheet, matches, taken, listed, paths)
        else:
            show_columns(sheet, matches)
            _show(shown, more)
            tell_sheet(sheet)
            _say(taken, out, seed, paths)
    if taken.count.severities["error"] or any(f.severity is Severity.ERROR for f in sheet.findings):
        raise SystemExit(FINDINGS)


def _day(judged: str) -> dt.date | None:
    try:
        return dt.date.fromisoformat(judged) if judged else None
    except ValueError:
        raise UsageProblem(f"--judged {judged} is not a date", "write year-month-day, such as 2027-03-14") from None


def _numbers(sheet: Sheet, matches: Sequence[Match], out: Path | None, seed: str) -> Mapping[str, str]:
    """Blind numbers by entry, drawn; an entry that has one in the folder's key keeps it."""
    if not seed or out is None:
        return {}
    reader, keys = Reader(sheet, matches), EntryKeys()
    found = list(sheet.findings)
    wanted = [keys.next(reader.read(row).entry) for row in sheet.rows()]
    sheet.findings[:] = found  # the rows are read again, and what is told of them is told then
    try:
        given = {row["entry"]: number for number, row in read_key(out / KEY).items()}
    except FileNotFoundError:
        given = {}
    except OSError as error:
        raise OutputError(
            f"{(out / KEY).as_posix()}: cannot be read: {error.strerror}", "mend its permissions"
        ) from None
    return drawn(wanted, seed, given)


class _Taken:
    """Takes from each entry what the outputs need, as it passes."""

    def __init__(self, check: CheckIn, numbers: Mapping[str, str], spool: Any) -> None:
        self.check, self.numbers, self.spool = check, numbers, spool
        self.count, self.letters, self.keys = Count(), Letters(), EntryKeys()
        self.judging, self.key = SortedRows(JUDGING_COLUMNS), SortedRows(KEY_COLUMNS)

    def through(self, declarations: Iterator[Declaration]) -> Iterator[Declaration]:
        """The entries, passed on."""
        stream: IO[bytes] | None = self.spool
        annotated = Annotated(stream, self.check.reader.sheet) if stream is not None else None
        for declared in declarations:
            self.count.add(declared)
            if annotated is not None:
                annotated.add(declared)
                self.letters.add(declared)
            if self.numbers:
                key = self.keys.next(declared.entry)
                self.judging.add(judging_row(self.check, declared, self.numbers[key]))
                self.key.add(key_row(declared, self.numbers[key], key))
            yield declared
        if annotated is not None:
            annotated.close()


def _ticking(declarations: Iterator[Declaration], step: Any) -> Iterator[Declaration]:
    for done, declared in enumerate(declarations, 1):
        if done % TICK == 0:
            step(f"checking, {done} rows", done, None)
        yield declared


def _first(declarations: Iterator[Declaration], most: int) -> tuple[list[Declaration], int]:
    """The first entries with something to read, and how many more there are; all are run through."""
    shown: list[Declaration] = []
    more = 0
    for declared in declarations:
        if declared.findings:
            if len(shown) < most:
                shown.append(declared)
            else:
                more += 1
    return shown, more


def _spool() -> Any:
    """A file for what is too much to hold; it goes when it is closed."""
    return tempfile.NamedTemporaryFile(prefix="entryprep-")


def _list_json(declarations: Iterator[Declaration], listed: IO[bytes]) -> int:
    """Write the entries as JSON to ``listed``, one by one so that many need no room; how many they are."""
    count = 0
    for count, declared in enumerate(declarations, 1):
        listed.write(f"{',' if count > 1 else ''}\n{json_text(declared_json(declared))}".encode())
    listed.seek(0)
    return count


def _write_json(
    sheet: Sheet, matches: Sequence[Match], taken: _Taken, listed: IO[bytes], paths: Sequence[Path]
) -> None:
    """One JSON object, the entries as they were listed."""
    write = sys.stdout.write
    write('{"format": 1')
    for name, value in columns_json(sheet, matches).items():
        write(f", {json_text(name)}: {json_text(value)}")
    write(', "entries": [')
    for line in listed:
        write(line.decode())
    count = taken.count
    summary = {"entries": count.entries, "styles": dict(sorted(count.how.items())), "questions": count.questions}
    summary["findings"] = dict(sorted(count.severities.items()))
    rest = {
        "summary": summary,
        "findings": [f.as_json() for f in sheet.findings],
        "files": [p.as_posix() for p in paths],
    }
    write("\n]" + "".join(f", {json_text(n)}: {json_text(v)}" for n, v in rest.items()) + "}\n")


def _written(taken: _Taken, place: Claimed) -> list[Path]:
    """Write the files; the letters of an earlier run that are no longer asked are taken away."""
    files: dict[str, bytes | Path] = {CHECKED: Path(taken.spool.name), **taken.letters.files()}
    if taken.numbers:
        files[JUDGING] = taken.judging.content()
        files[KEY] = taken.key.content()
    return place.write(files, replace_below="letters/", private=(KEY,))


def _show(shown: Sequence[Declaration], more: int) -> None:
    """Entries with something to read: a line on what each is, then what was found, the word of the severity first."""
    from rich.padding import Padding
    from rich.text import Text

    out = console()
    for declared in shown:
        out.print()
        fit = "" if declared.fit is None or declared.fit.score is None else f", fit {declared.fit.score:.0f} of 100"
        style = declared.style.name if declared.style else _OPEN[declared.named.how]
        said = f"“{declared.text('style')}”: " if declared.named.how not in {"named", "missing"} else ""
        out.print(paragraph(clean(f"{declared.entry}  {said}{style}{fit}"), "bold"))
        for finding in declared.findings:
            line = Text()
            line.append(MARKS[finding.severity.value], style=MARK_STYLES[finding.severity.value])
            caution = f" ({finding.fix})" if finding.rule in CAUTIONS else ""
            line.append(f" row {finding.line}: {clean(finding.what + caution)}")
            out.print(Padding(line, (0, 0, 0, 4), expand=False))
    if more:
        out.print()
        out.print(
            paragraph(f"... and {more} more entries with something to read; --rows {len(shown) + more} shows all.")
        )


def _say(taken: _Taken, out: Path | None, seed: str, paths: Sequence[Path]) -> None:
    count, said = taken.count, console()
    settled = count.how["named"] + count.how["read"]
    parts = [f"{settled} of {counted(count.entries, 'entry', 'entries')} settled in style"]
    parts += [f"{count.how['read']} of them not spelt as in the table"] if count.how["read"] else []
    words = {"unsettled": "may mean several", "unknown": "not known", "missing": "without a style"}
    parts += [f"{count.how[how]} {text}" for how, text in words.items() if count.how[how]]
    marks = ", ".join(counted(count.severities[s.value], s.value) for s in Severity)
    said.print()
    said.print(paragraph(f"{'; '.join(parts)}.", "bold"))
    said.print(
        paragraph(f"{marks}; {counted(count.questions, 'question')} about {counted(count.asked, 'entry', 'entries')}.")
    )
    if out is None:
        said.print(paragraph("Nothing was written; --out FOLDER writes the annotated sheet and the letters."))
        return
    if not seed:
        said.print(paragraph("No blind numbers were drawn; --seed WORDS draws them, the same for the same words."))
    for path in [p for p in paths if p.parent.name != "letters"]:
        said.print(
            paragraph(
                path.as_posix() + ("  (yours alone: it joins numbers to people)" if path.name == KEY else ""), indent=2
            )
        )
    if len(taken.letters):
        said.print(paragraph(f"{(out / 'letters').as_posix()}  ({counted(len(taken.letters), 'letter')})", indent=2))
