"""``intake``: a sheet of declarations, checked row by row, and what goes out of it."""

from __future__ import annotations

import datetime as dt
import shlex
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field
from heapq import nsmallest
from pathlib import Path
from typing import IO, Any

from entryprep.cli.boundary import FINDINGS, UsageProblem
from entryprep.cli.nextstep import next_of, say_answer
from entryprep.cli.options import day_option
from entryprep.cli.plain import Line
from entryprep.cli.progress import working
from entryprep.cli.registering import PRIVATE_FILES, derived_files, mended_findings, time_of
from entryprep.cli.show import MARK_STYLES, MARKS, clean, console, json_text, paragraph
from entryprep.cli.spreadsheets import columns_json, columns_of, opened, show_columns, tell_sheet, tell_some
from entryprep.filenames import file_name
from entryprep.findings import Finding, Severity, has_errors
from entryprep.formats.columns import Match
from entryprep.formats.spreadsheet import Sheet
from entryprep.output import Content, OutputError
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.checks_cautions import HARMFUL
from entryprep.receiving.codes import Codes
from entryprep.receiving.declaration import CAUTIONS, Declaration, Reader
from entryprep.receiving.intake import declarations
from entryprep.receiving.letters import Letters, Sender
from entryprep.receiving.outputs import JUDGING_COLUMNS, Annotated, SortedRows, declared_json, judging_row, read_key
from entryprep.receiving.register.book import Register, held_register
from entryprep.receiving.register.competition import hold_competition
from entryprep.receiving.register.entrants import ask_alike
from entryprep.receiving.register.harm import review_harm
from entryprep.receiving.register.joining import Joined, join
from entryprep.receiving.register.listing import KEY
from entryprep.receiving.register.questions import question_findings
from entryprep.receiving.register.sheets import kept_sheets, strangers
from entryprep.records.competition import Competition, read_competition
from entryprep.records.identity import Identity
from entryprep.tables.styles import load_styles
from entryprep.text import counted, several

_OPEN = {"unsettled": "may mean several styles", "unknown": "no style we have", "missing": "no style declared"}
TICK, TOLD = 50, 20
CHECKED, LETTERS = "checked", "letters"


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
    club: str,
    competition: Path | None,
    at: str,
    who: str,
    as_json: bool,
) -> None:
    """``entryprep intake``."""
    cup = read_competition(competition) if competition is not None else None
    day = day_option("--judged", judged)
    if (seed or club) and not out:
        problem = "--seed draws blind numbers" if seed else "--club says whose form this is in a register"
        raise UsageProblem(f"{problem}, which have to be written", "give --out FOLDER as well")
    if seed and not seed.strip():
        raise UsageProblem("--seed is blank", "give it words only you know, such as --seed 'four words of yours'")
    with opened(file, "declarations", encoding, separator) as sheet, _spool() as listed:
        with ExitStack() as stack:  # the files first, then words: nobody who stops listening stops the work
            matches = columns_of(sheet, "declarations", options, ("style",))
            reader = Reader(sheet, matches)
            register = stack.enter_context(held_register(out, time_of(at), who, new=True)) if out else None
            told: list[Finding] = []
            if register is not None:
                cup, told = hold_competition(register, competition)
            form = _Form(register, reader, "stdin" if file is None else file.name, " ".join(club.split()), seed, told)
            check = _check(reader, cup, bottles, day)
            check.blind.others = form.others()
            taken = _Taken(check, form, stack.enter_context(_spool()) if register else None, _sender(cup))
            step = stack.enter_context(working("checking"))
            checked = _ticking(taken.through(declarations(check)), step)
            shown, more = ([], _list_json(checked, listed)) if as_json else _first(checked, rows)
            paths = _written(taken, form) if register else []
        if as_json:
            _write_json(sheet, matches, taken, listed, paths)
        else:
            _answer(taken, "-" if file is None else file.as_posix(), out)
            tell_some(form.findings, TOLD)
            tell_sheet(sheet)
            _show(shown, more)
            console().print()
            show_columns(sheet, matches)
            _say_files(taken, out, paths)
    if taken.count.severities["error"] or has_errors([*sheet.findings, *form.findings]):
        raise SystemExit(FINDINGS)


def _check(reader: Reader, cup: Competition | None, bottles: int, day: dt.date | None) -> CheckIn:
    """The checks, by what was told and what the competition's file says."""
    if cup is None:
        return CheckIn(reader, load_styles(), bottles, day)
    codes = Codes(cup, load_styles())
    return CheckIn(reader, load_styles(), bottles or cup.bottles.count, day or cup.dates.judging, codes)


def _sender(cup: Competition | None) -> Sender:
    """Who writes the letters, as far as the competition's file says."""
    if cup is None:
        return Sender()
    who = cup.organiser
    return Sender(cup.name, who.name, who.mail, who.answers_by) if who else Sender(cup.name)


class _Form:
    """The form as the register takes it in: which row is which entry, written down before anything is made of it."""

    def __init__(
        self, register: Register | None, reader: Reader, name: str, club: str, seed: str, told: Sequence[Finding]
    ) -> None:
        self.register, self.name, self.club = register, name, club
        self.joined, self.findings = Joined(), [*told]
        self.seeded = False
        if register is None:
            return
        given = {} if register.journal.changes else _given(register.folder)
        if seed and register.state.seed != seed:
            if register.state.seed:
                raise UsageProblem(
                    "--seed is not the one the numbers of this register were drawn from",
                    "leave it out: late entries are drawn from the first one",
                )
            register.note("seeded", seed=seed)
        self.seeded = bool(register.state.seed)
        self.joined = join(register, reader, name, club)
        entries = register.state.entries
        for each in self.joined.new:
            if each in given and given[each] not in register.state.owners:
                register.note("numbered", "read from the key of an earlier version", entry=each, number=given[each])
        review_harm(register, [entries[each] for each in (*self.joined.new, *self.joined.changed)])
        register.draw_numbers()
        asked = ask_alike(register, [entries[each] for each in (*self.joined.new, *self.joined.changed)])
        register.settle()
        self.findings += mended_findings(register) + question_findings(register)
        self.asked = asked | self.joined.raised

    def number(self, row: int) -> str:
        """The blind number of a row that is poured, empty where it has none."""
        each = self.joined.ids.get(row)
        if self.register is None or each is None:
            return ""
        entry = self.register.state.entries[each]
        return entry.number if entry.poured else ""

    def is_all(self) -> bool:
        """Whether the judges' side can be made from this form: all that is poured stands in it, as the form says."""
        if self.register is None:
            return False
        here = set(self.joined.ids.values())
        return all(entry.id in here and not entry.moved for entry in self.register.state.poured())

    def others(self) -> tuple[Identity, ...]:
        """Entrants that are not in this form."""
        if self.register is None:
            return ()
        here = set(self.joined.ids.values())
        rest = [entry for entry in self.register.state.entries.values() if entry.id not in here]
        return strangers(kept_sheets(self.register.state, self.name, load_styles(), rest))

    def called(self, plain: str) -> str:
        """A file of the form: the first form of a register has the plain name, later ones their own beside it."""
        assert self.register is not None
        own = f"{self.club}/{self.name}" if self.club else self.name
        first = next(iter(self.register.state.files), own)
        return plain if own == first else f"{plain}-{file_name(own.removesuffix('.csv'))}"


def _given(folder: Path) -> Mapping[str, str]:
    """Numbers by entry of a key that was written before there was a register."""
    try:
        return {row["entry"]: number for number, row in read_key(folder / KEY).items()}
    except FileNotFoundError:
        return {}
    except OSError as error:
        raise OutputError(
            f"{(folder / KEY).as_posix()}: cannot be read: {error.strerror}", "mend its permissions"
        ) from None


class _Taken:
    """Takes from each entry what the outputs need, as it passes."""

    def __init__(self, check: CheckIn, form: _Form, spool: Any, sender: Sender) -> None:
        self.check, self.form, self.spool = check, form, spool
        self.count, self.letters = Count(), Letters(sender)
        self.judging = SortedRows(JUDGING_COLUMNS) if form.seeded and form.is_all() else None

    def through(self, declarations: Iterator[Declaration]) -> Iterator[Declaration]:
        """The entries, passed on."""
        stream: IO[bytes] | None = self.spool
        annotated = Annotated(stream, self.check.reader.sheet) if stream is not None else None
        for declared in declarations:
            self.count.add(declared)
            if annotated is not None:
                annotated.add(declared)
                self.letters.add(declared)
            if self.judging is not None and (number := self.form.number(declared.row.number)):
                self.judging.add(judging_row(self.check, declared, number))
            yield declared
        if annotated is not None:
            annotated.close()


def _ticking(declarations: Iterator[Declaration], step: Any) -> Iterator[Declaration]:
    for done, declared in enumerate(declarations, 1):
        if done % TICK == 0:
            step(f"checking, {done} rows", done, None)
        yield declared


def _first(declarations: Iterator[Declaration], most: int) -> tuple[list[Declaration], int]:
    """The entries with the gravest to read, and how many more have something; all are run through."""
    count = 0

    def noted() -> Iterator[Declaration]:
        nonlocal count
        for declared in declarations:
            if declared.findings:
                count += 1
                yield declared

    shown = nsmallest(most, noted(), key=_weight)
    for _ in noted():  # where none is to be shown none was asked for
        pass
    return shown, count - len(shown)


_ORDER = {severity: place for place, severity in enumerate(Severity)}


def _weight(declared: Declaration) -> tuple[int, int, int]:
    """The gravest entries first: those that may hurt, then by the worst that was found; then as they stand."""
    worst = min(_ORDER[found.severity] for found in declared.findings)
    grave = any(f.rule in HARMFUL or (f.rule in CAUTIONS and f.severity is Severity.ERROR) for f in declared.findings)
    return not grave, worst, declared.row.number


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
        "findings": [f.as_json() for f in (*sheet.findings, *taken.form.findings)],
        "files": [p.as_posix() for p in paths],
    }
    write("\n]" + "".join(f", {json_text(n)}: {json_text(v)}" for n, v in rest.items()) + "}\n")


def _written(taken: _Taken, form: _Form) -> list[Path]:
    """Write the files; the letters of an earlier run that are no longer asked are taken away."""
    assert form.register is not None
    assert form.register.place is not None
    letters = form.called(LETTERS)
    files: dict[str, Content] = {f"{form.called(CHECKED)}.csv": Path(taken.spool.name)}
    files |= {name.replace(LETTERS, letters, 1): text for name, text in taken.letters.files().items()}
    made, told = derived_files(form.register, None if taken.judging is None else taken.judging.content())
    form.findings += told
    return form.register.place.write({**files, **made}, replace_below=f"{letters}/", private=PRIVATE_FILES)


def _show(shown: Sequence[Declaration], more: int) -> None:
    """Entries with something to read, the gravest first: a line on what each is, then what was found in it."""
    out = console()
    for declared in shown:
        out.print()
        fit = "" if declared.fit is None or declared.fit.score is None else f", fit {declared.fit.score:.0f} of 100"
        style = declared.style.name if declared.style else _OPEN[declared.named.how]
        said = f"“{declared.text('style')}”: " if declared.named.how not in {"named", "missing"} else ""
        row = "" if declared.entry == f"row {declared.row.number}" else f" (row {declared.row.number})"
        out.print(paragraph(clean(f"{declared.entry}{row}  {said}{style}{fit}"), "bold"))
        for finding in sorted(declared.findings, key=lambda f: (_ORDER[f.severity], f.rule not in CAUTIONS)):
            line = Line.of(MARKS[finding.severity.value], MARK_STYLES[finding.severity.value], indent=4)
            caution = f" ({finding.fix})" if finding.rule in CAUTIONS else ""
            line.append(f" {clean(finding.what + caution)}")
            out.print(line)
    if more:
        out.print()
        out.print(
            paragraph(f"... and {more} more entries with something to read; --rows {len(shown) + more} shows all.")
        )


def _answer(taken: _Taken, file: str, out: Path | None) -> None:
    """First how many entries there are and how many need an answer, then what to do next, then the counts."""
    count, said = taken.count, console()
    needs = several(count.asked, "needs", "need") if count.asked else "none needs"
    entries = counted(count.entries, "entry", "entries")
    say_answer(f"{entries}: {needs} an answer before judging.", _next(taken, file, out))
    settled = count.how["named"] + count.how["read"]
    parts = [f"{settled} settled in style"]
    parts += [f"{count.how['read']} of them not spelt as in the table"] if count.how["read"] else []
    words = {"unsettled": "may mean several", "unknown": "not known", "missing": "without a style"}
    parts += [f"{count.how[how]} {text}" for how, text in words.items() if count.how[how]]
    marks = ", ".join(counted(count.severities[s.value], s.value) for s in Severity)
    said.print(paragraph(f"{'; '.join(parts)}; {counted(count.questions, 'question')}; {marks}."))


def _next(taken: _Taken, file: str, out: Path | None) -> str:
    """What to do next, with the command."""
    if out is None:
        return (
            f"entryprep intake {shlex.quote(file)} --out FOLDER --seed 'words only you know' "
            "(nothing was written yet: it writes the letters and draws blind numbers)"
        )
    assert taken.form.register is not None
    letters = (out / taken.form.called(LETTERS)).as_posix()
    count = len(taken.letters)
    send = f"send {'the letter' if count == 1 else f'the {count} letters'} in {letters}" if count else ""
    return next_of(taken.form.register, send)


def _say_files(taken: _Taken, out: Path | None, paths: Sequence[Path]) -> None:
    said = console()
    if out is None:
        return
    if not taken.form.seeded:
        said.print(paragraph("No blind numbers were drawn; --seed WORDS draws them, the same for the same words."))
    letters = taken.form.called(LETTERS)
    for path in [p for p in paths if p.parent.name != letters]:
        said.print(
            paragraph(
                path.as_posix() + ("  (yours alone: it joins numbers to people)" if path.name in PRIVATE_FILES else ""),
                indent=2,
            )
        )
    if len(taken.letters):
        said.print(paragraph(f"{(out / letters).as_posix()}  ({counted(len(taken.letters), 'letter')})", indent=2))
