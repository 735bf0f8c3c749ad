"""What every rule may ask: the season with what follows from it, each thing worked out once."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Generic, TypeVar

from entryprep.beer.beer import Beer
from entryprep.beer.categories import CategoryMatch, category_styles
from entryprep.beer.fitting import Fit
from entryprep.entering.bottles import allocate
from entryprep.entering.declaration import Declared, declared, declared_as
from entryprep.entering.plan import Take
from entryprep.entering.rules.people import Telling
from entryprep.entering.season import Entered, Season, batch_file
from entryprep.reading.fields import Record
from entryprep.reading.yamltext import Path_
from entryprep.records.batch import Batch
from entryprep.records.competition import Category
from entryprep.tables.rules import Rules, rules
from entryprep.vitals import Vitals

ENTRIES = "entries.yaml"
BY_FILE, BY_CUSTOM = "the competition's file", "common practice: the competition's file does not say"


def stated(record: Record, field_name: str) -> str:
    """Where a rule of a competition is from: its file, or what is usual where the file leaves it out."""
    return BY_FILE if field_name in record.model_fields_set else BY_CUSTOM


@dataclass(frozen=True)
class Place:
    """A value in one of the season's files."""

    file: str
    path: Path_


@dataclass(frozen=True)
class Hit:
    """A rule that applies: at which place, to what, with the values its words need.

    ``milder`` is a lesser case of it, ``case`` a named one.
    """

    rule: str
    place: Place
    about: str
    values: Mapping[str, object] = field(default_factory=dict)
    milder: bool = False
    case: str = ""


@dataclass(frozen=True)
class DeclaredBeer:
    """A batch as declared once: the style and base of an entry, or the batch's own where it is not entered.

    ``beer`` is None where its records contradict each other (rule ``vitals-contradict``).
    """

    batch_id: str
    batch: Batch
    said: Declared
    style_place: Place
    base_place: Place
    entered: bool
    beer: Beer | None

    @property
    def key(self) -> tuple[str, str, str]:
        """What it is known by: the batch, and the words of its style and base."""
        return self.batch_id, self.said.style_named.text, self.said.base_named.text

    @property
    def fit(self) -> Fit | None:
        """Fit to the declared style, or None where the style or every vital is unknown."""
        if self.beer is None or self.said.style is None or not self.beer.vitals.known:
            return None
        return self.beer.fit(self.said.style)


Subject = TypeVar("Subject")


@dataclass(frozen=True)
class Rule(Generic[Subject]):
    """A function and the ids of the rows it may yield."""

    ids: tuple[str, ...]
    find: Callable[[Context, Subject], Iterator[Hit]]


@dataclass
class Context:
    """The season, the day, and the entries looked at (those of one competition, or all)."""

    season: Season
    today: dt.date
    competition_id: str | None = None
    _matches: dict[tuple[str, str], CategoryMatch] = field(default_factory=dict)
    _beers: dict[int, DeclaredBeer] = field(default_factory=dict)

    @cached_property
    def rules(self) -> Rules:
        """The rule table."""
        return rules()

    @cached_property
    def entries(self) -> tuple[Entered, ...]:
        """The entries looked at, in their order."""
        wanted = self.competition_id
        return tuple(e for e in self.season.entered if wanted is None or e.competition_id == wanted)

    @cached_property
    def by_competition(self) -> dict[str, list[Entered]]:
        """Those entries by competition."""
        groups: dict[str, list[Entered]] = defaultdict(list)
        for entered in self.entries:
            groups[entered.competition_id].append(entered)
        return dict(groups)

    @cached_property
    def batches(self) -> dict[str, Batch]:
        """The batches looked at: those entered, and where no competition was chosen every other one too."""
        if self.competition_id is None:
            return self.season.batches
        return {e.batch_id: e.batch for e in self.entries}

    @cached_property
    def takes(self) -> dict[int, tuple[Take, ...]]:
        """Bottles taken for each entry of the season, whichever entries are looked at."""
        return allocate(self.season)

    def declaring(self, beer: DeclaredBeer) -> tuple[str, ...]:
        """The competitions whose entries declare a batch so."""
        return self._declaring.get(beer.key, ())

    @cached_property
    def _declaring(self) -> dict[tuple[str, str, str], tuple[str, ...]]:
        found: dict[tuple[str, str, str], dict[str, None]] = defaultdict(dict)
        for entered in self.entries:
            found[self.beer(entered).key][entered.competition_id] = None
        return {key: tuple(ids) for key, ids in found.items()}

    @cached_property
    def beers(self) -> tuple[DeclaredBeer, ...]:
        """Each batch once for every way it is declared."""
        beers: dict[tuple[str, str, str], DeclaredBeer] = {}
        for entered in self.entries:
            beer = self.beer(entered)
            beers.setdefault(beer.key, beer)
        entered_ids = {e.batch_id for e in self.entries}
        for batch_id, batch in self.batches.items():
            if batch_id not in entered_ids:
                beers[batch_id, batch.style or "", batch.base or ""] = self._unentered(batch_id, batch)
        return tuple(beers.values())

    def beer(self, entered: Entered) -> DeclaredBeer:
        """The beer of an entry, as the entry declares it."""
        if entered.index not in self._beers:
            self._beers[entered.index] = self._as_entered(entered)
        return self._beers[entered.index]

    def _as_entered(self, entered: Entered) -> DeclaredBeer:
        said = declared(self.season.table, entered)
        style = self.at_entry(entered, "style") if entered.entry.style else self.at_batch(entered.batch_id, "style")
        base = self.at_entry(entered, "base") if entered.entry.base else self.at_batch(entered.batch_id, "base")
        made = self.season.beer(entered.batch_id, entered)
        return DeclaredBeer(entered.batch_id, entered.batch, said, style, base, True, made)

    def _unentered(self, batch_id: str, batch: Batch) -> DeclaredBeer:
        said = declared_as(self.season.table, batch.style, batch.base)
        places = (self.at_batch(batch_id, "style"), self.at_batch(batch_id, "base"))
        return DeclaredBeer(batch_id, batch, said, *places, False, self.season.beer(batch_id))

    def vitals(self, batch_id: str) -> Vitals | None:
        """Vitals of a batch as served, or None where its records contradict each other."""
        found = self.season.beer(batch_id)
        return found.vitals if found else None

    def match(self, competition_id: str, category: Category) -> CategoryMatch:
        """The styles of a competition's category."""
        key = (competition_id, category.code)
        if key not in self._matches:
            self._matches[key] = category_styles(category, self.season.table)
        return self._matches[key]

    @cached_property
    def telling(self) -> Telling:
        """What finds the brewer's names in a text for judges."""
        return Telling(self.season.brewer, self.season.table)

    def at_batch(self, batch_id: str, *path: str | int) -> Place:
        """A place in a batch's file."""
        return Place(batch_file(self.season, batch_id), path)

    def at_entry(self, entered: Entered, key: str) -> Place:
        """A place in an entry."""
        return Place(ENTRIES, ("entries", entered.index, key))

    def at_competition(self, competition_id: str, *path: str | int) -> Place:
        """A place in a competition's file."""
        names = (f"competitions/{competition_id}.yaml", f"competitions/{competition_id}.yml")
        return Place(next((name for name in names if name in self.season.documents), names[0]), path)

    def at_category(self, entered: Entered, *path: str | int) -> Place:
        """A place in the category an entry goes to."""
        index = entered.competition.categories.index(entered.category)
        return self.at_competition(entered.competition_id, "categories", index, *path)

    def vital_place(self, batch_id: str, vital: str) -> Place:
        """Where a vital, or what it was derived from, is written."""
        batch = self.season.batches[batch_id]
        for name, record in (("measured", batch.measured), ("predicted", batch.predicted)):
            if getattr(record, vital) is not None:
                return self.at_batch(batch_id, name, vital)
        if vital == "co2":
            return self.at_batch(batch_id, "carbonation", "priming", "mass")
        # a derived vital stands where the first of the two it follows from is written
        first = next((name for name in ("og", "fg", "abv") if name != vital and _has(batch, name)), None)
        return self.vital_place(batch_id, first) if first else self.at_batch(batch_id)


def _has(batch: Batch, vital: str) -> bool:
    return getattr(batch.measured, vital) is not None or getattr(batch.predicted, vital) is not None
