"""Random histories of a register: forms read again and again, and changes between them. All people are invented."""

from __future__ import annotations

import io
import random
from collections.abc import Iterable, Sequence
from pathlib import Path

from entryprep.formats.columns import matched
from entryprep.formats.csvtext import csv_bytes
from entryprep.formats.spreadsheet import open_sheet
from entryprep.receiving.declaration import Reader
from entryprep.receiving.register.book import Register, held_register
from entryprep.receiving.register.changes import STANDINGS, move, set_standing
from entryprep.receiving.register.entrants import ask_alike
from entryprep.receiving.register.joining import join
from entryprep.receiving.register.questions import decide

HEADER = ("entry", "brewer", "email", "timestamp", "beer name", "style", "mark")
"""``mark`` is a column that is not read: it tells the tests which beer a row truly is."""
FIRST = ("Aune", "Berit", "Cato", "Dagny", "Eskil", "Frode", "Gro", "Hauk")
LAST = ("Myklebust", "Sandvoll", "Tveiten", "Ulvang", "Vassdal", "Ytreland")
BEERS = ("Fen", "Skerry", "Gale", "Marram", "Drift", "Sloe", "Staithe", "Mallard")
STYLES = ("Gose", "German pils", "Schwarzbier", "tripel", "Irish stout", "English porter")
AT = "2027-03-13T09:00:00"
Line = list[str]


def take(folder: Path, lines: Iterable[Sequence[str]], file: str = "form.csv", club: str = "", seed: str = "s") -> None:
    """Read a form into the register of a folder, as ``intake`` does, without checking its beers."""
    sheet = open_sheet(io.BytesIO(csv_bytes(HEADER, lines)), file)
    reader = Reader(sheet, matched(sheet, "declarations"))
    with held_register(folder, AT, new=True) as register:
        if not register.state.seed:
            register.note("seeded", seed=seed)
        done = join(register, reader, file, club)
        register.draw_numbers()
        ask_alike(register, [register.state.entries[each] for each in (*done.new, *done.changed)])
        register.settle()


def lines(count: int, first: int = 1, club: str = "") -> list[Line]:
    """Rows of so many beers, each by its own number; three beers of each entrant."""
    made = []
    for n in range(first, first + count):
        who = f"{FIRST[n // 3 % len(FIRST)]} {club or LAST[n // 3 % len(LAST)]} {n // 3}"
        beer = f"{BEERS[n % len(BEERS)]} {club}{n}"
        sent = f"2027-02-{1 + n % 28:02d} 10:{n % 60:02d}"
        made.append([f"{n}", who, f"b{n // 3}{club}@example.org", sent, beer, STYLES[n % len(STYLES)], f"{club}{n}"])
    return made


class History:
    """Steps taken at random on one register; ``forms`` are the rows as the clubs' forms hold them at the time."""

    def __init__(self, folder: Path, chance: random.Random) -> None:
        self.folder, self.chance = folder, chance
        self.numbered = chance.random() < 0.6
        self.forms: dict[str, list[Line]] = {"": self._fresh(12, 1, ""), "Tarn": self._fresh(8, 1, "Tarn")}
        self.taken_out: dict[str, list[Line]] = {"": [], "Tarn": []}
        self.next = 100

    def _fresh(self, count: int, first: int, club: str) -> list[Line]:
        made = lines(count, first, club)
        return made if self.numbered else [["", *row[1:]] for row in made]

    def step(self) -> None:
        """One change: of a form, which is then read again, or of the register."""
        if self.chance.random() < 0.5:
            club = self.chance.choice(["", "Tarn"])
            for _ in range(self.chance.choice([1, 1, 2])):
                self.chance.choice([self._less, self._back, self._more, self._edited, self._shuffled, self._doubled])(
                    club
                )
            if self.forms[club]:
                take(self.folder, self.forms[club], f"form{club}.csv", club)
            return
        with held_register(self.folder, AT, new=True) as register:
            self._change(register)
            register.settle()

    def _change(self, register: Register) -> None:
        entries = list(register.state.entries.values())
        asked = register.state.open_questions()
        if asked and self.chance.random() < 0.5:
            question = self.chance.choice(asked)
            decide(register, question.q, self.chance.choice(list(question.answers)))
        elif entries:
            entry = self.chance.choice(entries)
            what = self.chance.choice([*STANDINGS, "moved", "renumbered"])
            if what == "moved":
                move(register, entry, {"style": self.chance.choice(STYLES)})
            elif what == "renumbered":
                register.renumber(entry)
            else:
                set_standing(register, entry, what)

    def _less(self, club: str) -> None:
        if self.forms[club]:
            self.taken_out[club].append(self.forms[club].pop(self.chance.randrange(len(self.forms[club]))))

    def _back(self, club: str) -> None:
        if self.taken_out[club]:
            self.forms[club].append(self.taken_out[club].pop())

    def _more(self, club: str) -> None:
        self.next += 1
        self.forms[club] += self._fresh(1, self.next, club)

    def _edited(self, club: str) -> None:
        if self.forms[club]:
            row = self.chance.choice(self.forms[club])
            column = self.chance.choice([1, 4, 5])
            row[column] = self.chance.choice(STYLES) if column == 5 else row[column].replace("a", "o", 1)

    def _shuffled(self, club: str) -> None:
        self.chance.shuffle(self.forms[club])

    def _doubled(self, club: str) -> None:
        if self.forms[club]:
            row = list(self.chance.choice(self.forms[club]))
            row[0] = self.chance.choice([row[0], f"0{row[0]}", "500"]) if self.numbered else ""
            row[3] = self.chance.choice([row[3], "2027-02-28 23:59"])
            self.forms[club].insert(self.chance.randrange(len(self.forms[club]) + 1), row)
