"""Places and prizes: by one panel that tasted side by side, never by sums of panels that did not.

A category judged at one flight is placed by that panel. One judged at several has a mini round of the best of each,
and its places are those written for that round. Ties are asked back to the table; nothing is divided.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from entryprep.findings import Finding
from entryprep.formats.cells import is_empty
from entryprep.receiving.declaration import Reader
from entryprep.receiving.flights import NO_GROUP
from entryprep.receiving.scores import place_of
from entryprep.receiving.standings import Standing, Votes
from entryprep.records.competition import Prize
from entryprep.tables.rules import finding
from entryprep.text import fold, several

MINI = 3  # beers of each flight that go on, where nothing else is told: common practice
CLUB_POINTS = (3.0, 2.0, 1.0)
PLACES = "Place"  # of a category, where the competition names no prizes: they have no other name
BEST_OF_SHOW, CREATIVITY = "Best of show", "Creativity"
USUAL = ((PLACES, "category", 3), (BEST_OF_SHOW, "best-of-show", 3))


@dataclass(frozen=True)
class Round:
    """A round after the flights: its name, what it is for (a kind of prize), the numbers in it, by group where mini."""

    name: str
    kind: str
    numbers: tuple[str, ...]


@dataclass(frozen=True)
class Award:
    """One place of a prize: of which group (empty: of all), how it is called, the number, or the club, that has it."""

    prize: str
    group: str
    place: int
    title: str
    number: str = ""
    club: str = ""
    points: float = 0.0

    @property
    def called(self) -> str:
        """The prize, and the group it is of: ``Ribbon: Stouts``; of plain places in a group that alone."""
        if self.group and self.prize == PLACES:
            return self.group
        return ": ".join(each for each in (self.prize, self.group) if each)

    @property
    def rank(self) -> str:
        """The place with its title: ``place 1 (Gold)``."""
        return f"place {self.place}" + (f" ({self.title})" if self.title else "")


@dataclass
class Placed:
    """What is decided, what is still to be tasted, and what is to be told."""

    awards: list[Award] = field(default_factory=list)
    rounds: list[Round] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    def first(self, group: str) -> str:
        """The number placed first in a category, empty while that is open."""
        return next((a.number for a in self.awards if a.group == group and a.place == 1 and a.number), "")


def usual_prizes() -> tuple[Prize, ...]:
    """Three places in each category, and best of show: where the competition's file names no prizes."""
    return tuple(Prize(name=name, of=kind, places=places) for name, kind, places in USUAL)


def read_places(reader: Reader, numbers: Collection[str]) -> tuple[dict[tuple[str, str], int], list[Finding]]:
    """Places written for rounds: by key of the round's name and number. Each place of a round is given once.

    What two beers were given at once is used for neither, and told.
    """
    found: dict[tuple[str, str], int] = {}
    taken: dict[tuple[str, int], list[tuple[str, int]]] = {}
    findings: list[Finding] = []
    for row in reader.sheet.rows():
        findings += row.findings
        texts = reader.texts(row)
        number, text = "".join(texts.get("entry", "").split()), texts.get("place", "")
        if is_empty(text):
            continue
        name, place = fold(texts.get("round", "")), place_of(text)
        values = {"number": number[:30], "place": text[:30], "round": texts.get("round", "")[:60]}
        if number not in numbers or not place:
            case = "number" if place else ""
            findings.append(reader.sheet.finding("place-unread", row.number, reader.column("place"), values, case=case))
            continue
        taken.setdefault((name, place), []).append((number, row.number))
    for (name, place), those in taken.items():
        if len({number for number, _ in those}) > 1:
            listed = ", ".join(number for number, _ in those)
            said: dict[str, object] = {"place": place, "numbers": listed, "round": name or "the round"}
            findings.append(reader.sheet.finding("place-twice", those[0][1], reader.column("place"), said))
        else:
            found[name, those[0][0]] = place
    return found, findings


@dataclass
class Placing:
    """Gives the prizes of a competition. ``places`` are those written for rounds, ``clubs`` the club by number."""

    standings: Sequence[Standing]
    places: Mapping[tuple[str, str], int] = field(default_factory=dict)
    clubs: Mapping[str, str] = field(default_factory=dict)
    codes: Mapping[str, str] = field(default_factory=dict)  # codes and names of categories by key, to the group's name
    votes: Votes | None = None
    advance: int = MINI
    file: str = ""

    def given(self, prizes: Iterable[Prize]) -> Placed:
        """The awards of all prizes, those of categories first, for others are chosen among their winners."""
        made = Placed()
        every = sorted(prizes, key=lambda prize: prize.of != "category")
        if not any(prize.of == "category" for prize in every):
            every = [*usual_prizes()[:1], *every]
        for prize in every:
            if prize.of == "category":
                self._categories(prize, made)
            elif prize.of == "club":
                self._club(prize, made)
            elif prize.of == "vote":
                self._vote(prize, made)
            else:
                self._among_winners(prize, made)
        return made

    def _groups(self, prize: Prize) -> list[str]:
        groups = sorted({s.group for s in self.standings} - {NO_GROUP})
        wanted = {fold(self.codes.get(fold(code), code)) for code in prize.categories}
        return [group for group in groups if not wanted or fold(group) in wanted]

    def _categories(self, prize: Prize, made: Placed) -> None:
        unsettled = sum(s.group == NO_GROUP for s in self.standings)
        if unsettled:
            values = {"count": several(unsettled, "entry is", "entries are")}
            told = finding("medal-unsettled", values, file=self.file)
            made.findings += [told] if told not in made.findings else []
        for group in self._groups(prize):
            line = [s for s in self.standings if s.group == group and s.score is not None]
            flights = sorted({s.flight for s in self.standings if s.group == group})
            if len(flights) > 1:
                self._mini(prize, group, line, flights, made)
            else:
                self._panel(prize, group, line, made)

    def _panel(self, prize: Prize, group: str, line: Sequence[Standing], made: Placed) -> None:
        """Places of a category that one panel tasted whole."""
        unfinished = [s for s in self.standings if s.group == group and (s.score is None or (s.open and not s.agreed))]
        if unfinished and line:
            values = {"group": group or "the entries", "count": len(unfinished)}
            made.findings.append(finding("medal-open", values, file=self.file, case="scores"))
            return
        for place in range(1, prize.places + 1):
            those = [s for s in line if s.rank == place and self._enough(prize, s)]
            if len(those) > 1:
                values = {
                    "group": group or "the entries",
                    "numbers": ", ".join(s.number for s in those),
                    "place": place,
                }
                made.findings.append(finding("medal-tie", values, file=self.file))
            elif those:
                made.awards.append(Award(prize.name, group, place, _title(prize, place), those[0].number))

    def _mini(self, prize: Prize, group: str, line: Sequence[Standing], flights: Sequence[int], made: Placed) -> None:
        """Places of a category that several panels tasted in parts: those of its mini round alone."""
        going = sorted(s.number for s in line if s.rank <= self.advance)
        made.rounds.append(Round(group, "category", tuple(going)))
        placed = {place: n for (name, n), place in self.places.items() if name == fold(group) and n in going}
        if not placed:
            listed = ", ".join(map(str, flights))
            values = {"group": group or "the entries", "flights": listed, "count": len(going)}
            made.findings.append(finding("medal-open", values, file=self.file))
            return
        scores = {s.number: s for s in line}
        for place in range(1, prize.places + 1):
            if place in placed and self._enough(prize, scores[placed[place]]):
                made.awards.append(Award(prize.name, group, place, _title(prize, place), placed[place]))

    def _among_winners(self, prize: Prize, made: Placed) -> None:
        """Best of show, or the best of some categories: a round of their first."""
        firsts = {group: made.first(group) for group in self._groups(prize)}
        going = sorted(number for number in firsts.values() if number)
        if not going:
            return
        made.rounds.append(Round(prize.name, prize.of, tuple(going)))
        placed = {place: n for (name, n), place in self.places.items() if name == fold(prize.name) and n in going}
        awards = [Award(prize.name, "", p, _title(prize, p), placed[p]) for p in sorted(placed) if p <= prize.places]
        made.awards += awards
        missing = [group for group, number in firsts.items() if not number]
        if missing or not placed:
            values = {"prize": prize.name, "count": len(going), "missing": ", ".join(missing)[:200]}
            made.findings.append(finding("round-open", values, file=self.file, case="early" if missing else ""))

    def _club(self, prize: Prize, made: Placed) -> None:
        points = tuple(prize.points) or CLUB_POINTS
        groups = set(self._groups(prize))
        sums: dict[str, float] = {}
        names: dict[str, str] = {}
        for award in made.awards:
            club = self.clubs.get(award.number, "")
            if award.group in groups and club and not is_empty(club) and award.place <= len(points) and award.number:
                names.setdefault(fold(club), club)
                sums[fold(club)] = sums.get(fold(club), 0.0) + points[award.place - 1]
        line = sorted(sums, key=lambda key: (-sums[key], key))
        for key in line:
            place = 1 + sum(sums[other] > sums[key] for other in line)
            if place <= prize.places:
                made.awards.append(Award(prize.name, "", place, _title(prize, place), "", names[key], sums[key]))
        self._tied(prize, [sums[key] for key in line], [names[key] for key in line], made)

    def _vote(self, prize: Prize, made: Placed) -> None:
        counts = self.votes.counts if self.votes else ()
        for number, count in counts:
            place = 1 + sum(other > count for _, other in counts)
            if place <= prize.places and sum(other == count for _, other in counts) == 1:
                made.awards.append(Award(prize.name, "", place, _title(prize, place), number, points=count))
        self._tied(prize, [count for _, count in counts], [number for number, _ in counts], made)

    def _tied(self, prize: Prize, values: Sequence[float], names: Sequence[str], made: Placed) -> None:
        """Those that tie for a place of the prize, asked about."""
        for value in dict.fromkeys(values):
            those = [name for name, each in zip(names, values, strict=True) if each == value]
            place = 1 + sum(each > value for each in values)
            if len(those) > 1 and place <= prize.places:
                said = {"group": prize.name, "numbers": ", ".join(those)[:200], "place": place}
                made.findings.append(finding("medal-tie", said, file=self.file, case="prize"))

    def _enough(self, prize: Prize, standing: Standing) -> bool:
        return prize.least is None or (standing.score or 0.0) >= prize.least


def _title(prize: Prize, place: int) -> str:
    return prize.titles[place - 1] if place <= len(prize.titles) else ""
