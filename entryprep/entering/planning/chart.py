"""The chart of a season: all beers against all categories of all competitions, as plain values."""

from __future__ import annotations

from dataclasses import dataclass

from entryprep.entering.planning.places import Place, missing, places
from entryprep.entering.season import Season
from entryprep.vitals import Reading

TOLD_SHARE = 0.05  # from which what is missing at a place is looked at
GRADES = ((90.0, "A"), (75.0, "B"), (50.0, "C"), (25.0, "D"), (0.0, "E"))
SHOWN_SHARE = 0.005  # a share that rounds to nothing is a dot
LEGEND = (
    "Fit by letter: A from 90, B from 75, C from 50, D from 25, E below, - not known. Then the share in %, among all "
    "styles; a dot is less than half a per cent. > the best of a row, * entered, ! something is "
    "missing, ? the category's styles are guessed from its name."
)
PICTURED = ("og", "fg", "abv", "ibu", "srm")


@dataclass(frozen=True)
class Cell:
    """One beer in one category: ``fit`` 0 to 100 (None: nothing could be compared), ``share`` 0 to 1.

    ``style`` is the id of the style it would be declared as, empty for none. ``missing`` is what an entry would still
    lack, told from a share of 5 % on. ``best``: the category of this competition to enter it in.
    ``certain``: whether the category's styles are known rather than guessed by its name.
    """

    category: str
    share: float
    fit: float | None
    style: str
    style_name: str
    missing: tuple[str, ...]
    best: bool
    certain: bool
    entered: bool

    @property
    def grade(self) -> str:
        """The fit as a letter, A from 90, B from 75, C from 50, D from 25, E below; ``-`` where there is none."""
        return "-" if self.fit is None else next(letter for least, letter in GRADES if self.fit >= least)

    @property
    def shown(self) -> bool:
        """Whether there is more to say than that the beer does not belong there."""
        return self.share >= SHOWN_SHARE or self.entered

    @property
    def text(self) -> str:
        """At most six characters as LEGEND tells: best, grade, share, mark."""
        if not self.shown:
            return "·"
        mark = "*" if self.entered else "!" if self.missing else "?" if not self.certain else " "
        return f"{'>' if self.best else ''}{self.grade}{min(self.share * 100, 100):.0f}{mark}"


@dataclass(frozen=True)
class Row:
    """One beer in one competition, a cell for each category in the competition's order."""

    batch_id: str
    beer: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True)
class Block:
    """One competition: its categories as code and name, and a row for each beer."""

    competition_id: str
    competition: str
    categories: tuple[tuple[str, str], ...]
    rows: tuple[Row, ...]

    @property
    def missing(self) -> tuple[str, ...]:
        """What is missing, in words, for each beer and each set of things."""
        said: list[str] = []
        for row in self.rows:
            told: dict[tuple[str, ...], list[str]] = {}
            for cell in row.cells:
                if cell.missing:
                    told.setdefault(cell.missing, []).append(cell.category)
            said += [f"{row.beer} in {', '.join(codes)}: {', '.join(things)}" for things, codes in told.items()]
        return tuple(said)


@dataclass(frozen=True)
class Pictured:
    """One beer's vitals for the picture."""

    batch_id: str
    beer: str
    vitals: dict[str, Reading]


@dataclass(frozen=True)
class Chart:
    """The whole chart; ``contradictions`` are beers that cannot be worked out, with the reason."""

    blocks: tuple[Block, ...]
    beers: tuple[Pictured, ...]
    contradictions: tuple[tuple[str, str], ...]


def chart(season: Season) -> Chart:
    """All beers against all categories, in the order of the files. Linear in beers times categories."""
    every = places(season)
    entered = {(e.batch_id, e.competition_id, e.category.code) for e in season.entered}
    blocks = []
    for competition_id, competition in season.competitions.items():
        rows = [
            Row(batch_id, season.batches[batch_id].name, _cells(season, every[batch_id, competition_id], entered))
            for batch_id in season.batches
            if (batch_id, competition_id) in every
        ]
        categories = tuple((category.code, category.name) for category in competition.categories)
        blocks.append(Block(competition_id, competition.name, categories, tuple(rows)))
    return Chart(tuple(blocks), pictured(season), _contradictions(season))


def pictured(season: Season) -> tuple[Pictured, ...]:
    """The vitals of every beer that can be worked out: OG, FG, strength, bitterness, colour, as far as known."""
    found = []
    for batch_id, batch in season.batches.items():
        beer = season.beer(batch_id)
        if beer is not None:
            known = {name: beer.vitals[name] for name in PICTURED if name in beer.vitals}
            found.append(Pictured(batch_id, batch.name, known))
    return tuple(found)


def _cells(season: Season, row: tuple[Place, ...], entered: set[tuple[str, str, str]]) -> tuple[Cell, ...]:
    return tuple(
        Cell(
            place.category.code,
            place.share,
            place.score,
            place.style.id if place.style else "",
            place.style.name if place.style else "",
            missing(season, place) if place.share >= TOLD_SHARE else (),
            place.first,
            place.certain,
            (place.batch_id, place.competition_id, place.category.code) in entered,
        )
        for place in row
    )


def _contradictions(season: Season) -> tuple[tuple[str, str], ...]:
    errors = ((batch_id, season.contradiction(batch_id)) for batch_id in season.batches)
    return tuple((batch_id, error.message) for batch_id, error in errors if error is not None)
