"""``checkin``: labels with blind numbers for the bottles, and the list for whoever opens the boxes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from entryprep.cli.boundary import UsageProblem
from entryprep.cli.progress import working
from entryprep.cli.show import console, paragraph, print_json
from entryprep.cli.slips import Slips, boxed_findings, nudge_mm, printing
from entryprep.cli.spreadsheets import tell_some
from entryprep.output import claimed
from entryprep.receiving.codes import COMPETITION
from entryprep.receiving.outputs import people_of
from entryprep.receiving.register.book import BESIDE
from entryprep.receiving.register.listing import KEY
from entryprep.records.competition import read_competition
from entryprep.tables.labelsheets import find_sheet
from entryprep.text import counted, listed

LABELS, LIST = "bottle-labels.pdf", "check-in.pdf"
BOTTLES = 2  # of each entry, where nobody says how many: common practice
USUAL = {"a4": "a4-24", "letter": "letter-24"}


def run(folder: Path, key: Path | None, only: str, bottles: int, page: str, slips: Slips, as_json: bool) -> None:
    """``entryprep checkin``."""
    if page not in USUAL:
        raise UsageProblem(f"--page {page} is not known", "use letter or a4")
    path = key or folder / KEY
    cup = read_competition(folder / COMPETITION) if (folder / COMPETITION).exists() else None
    bottles = bottles or (cup.bottles.count if cup is not None else BOTTLES)
    people = people_of(path)
    chosen = _chosen(people, only)
    with printing(slips.fonts), working("printing"), claimed(folder, BESIDE) as place:
        from entryprep.paper.blindlabels import bottle_labels_pdf, check_in_pdf

        sheet = find_sheet(slips.sheet or USUAL[page], folder)
        order = sorted(chosen, key=lambda number: _natural(people[number]["entry"]))
        labels = bottle_labels_pdf(order, bottles, sheet, slips.start_at, nudge_mm(slips.nudge))
        rows = [(people[n]["entry"], people[n]["brewer"], people[n]["beer"], n) for n in order]
        files = {LABELS: labels, LIST: check_in_pdf(rows, bottles, sheet.page)}
        paths = place.write(dict(files), private=(LIST, LABELS))
        findings = boxed_findings(path)
    if as_json:
        value = {"entries": len(chosen), "labels": len(chosen) * bottles, "files": [p.as_posix() for p in paths]}
        print_json({**value, "findings": [f.as_json() for f in findings]})
        return
    out = console()
    said = f"{counted(len(chosen), 'entry', 'entries')}, {counted(len(chosen) * bottles, 'label')} on {sheet.called}."
    out.print(paragraph(said, "bold"))
    tell_some(findings, len(findings))
    out.print(paragraph("The list joins people to blind numbers: it stays with whoever opens the boxes."))
    for path in paths:
        out.print(paragraph(path.as_posix(), indent=2))


def _chosen(people: Mapping[str, Mapping[str, str]], only: str) -> Sequence[str]:
    """The blind numbers that are meant: all, or those of some entries. Raises UsageProblem for one that is none."""
    if not only.strip():
        return list(people)
    by_entry = {row["entry"]: number for number, row in people.items()}
    found: list[str] = []
    wrong: list[str] = []
    for word in (each.strip() for each in only.split(",")):
        number = word if word in people else by_entry.get(word, "")
        (found if number else wrong).append(number or word)
    if wrong:
        raise UsageProblem(f"no entry is called {listed(wrong)}", "name entry numbers or blind numbers, commas between")
    return list(dict.fromkeys(found))


def _natural(entry: str) -> tuple[int, str]:
    """Entry numbers in the order people look for them: 2 before 10."""
    return (int(entry), "") if entry.isascii() and entry.isdigit() and len(entry) < 12 else (10**12, entry)
