"""What every rule may ask: the season with what follows from it, each thing worked out once."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Generic, TypeVar

from entryprep.entering.declaration import Declared, declared
from entryprep.entering.rules.rows import Rules, rules
from entryprep.matching.categories import CategoryMatch, category_styles
from entryprep.matching.fitting import Fit, fit
from entryprep.matching.ranking import Ranking, rank
from entryprep.matching.vitals import Vitals, batch_vitals
from entryprep.quantities import QuantityError
from entryprep.records.batch import Batch
from entryprep.records.competition import Category, Competition
from entryprep.records.season import Entered, Season, batch_file
from entryprep.records.table import name_key
from entryprep.records.yamltext import Path_

ENTRIES = "entries.yaml"


@dataclass(frozen=True)
class Place:
    """A value in one of the season's files."""

    file: str
    path: Path_


@dataclass(frozen=True)
class Hit:
    """A rule that applies: at which place, to what, with the values its words need; ``milder``: a lesser case."""

    rule: str
    place: Place
    about: str
    values: dict[str, object] = field(default_factory=dict)
    milder: bool = False


@dataclass(frozen=True)
class Beer:
    """A batch as declared once: the style and base of an entry, or the batch's own where it is not entered."""

    batch_id: str
    batch: Batch
    said: Declared
    style_place: Place
    base_place: Place


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
    _vitals: dict[str, Vitals | None] = field(default_factory=dict)
    _rankings: dict[str, Ranking] = field(default_factory=dict)
    _matches: dict[tuple[str, str], CategoryMatch] = field(default_factory=dict)
    _fits: dict[tuple[str, str, str], Fit] = field(default_factory=dict)

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
    def beers(self) -> tuple[Beer, ...]:
        """Each batch once for every way it is declared."""
        beers: dict[tuple[str, str | None, str | None], Beer] = {}
        for entered in self.entries:
            beer = self.beer(entered)
            beers.setdefault((entered.batch_id, beer.said.style_name, beer.said.base_name), beer)
        entered_ids = {e.batch_id for e in self.entries}
        for batch_id, batch in self.batches.items():
            if batch_id not in entered_ids:
                beers[batch_id, batch.style, batch.base] = self._unentered(batch_id, batch)
        return tuple(beers.values())

    def beer(self, entered: Entered) -> Beer:
        """The beer of an entry, as the entry declares it."""
        said = declared(self.season.table, entered)
        style = self.at_entry(entered, "style") if entered.entry.style else self.at_batch(entered.batch_id, "style")
        base = self.at_entry(entered, "base") if entered.entry.base else self.at_batch(entered.batch_id, "base")
        return Beer(entered.batch_id, entered.batch, said, style, base)

    def _unentered(self, batch_id: str, batch: Batch) -> Beer:
        from entryprep.entering.declaration import find_style

        table = self.season.table
        said = Declared(batch.style, batch.base, find_style(table, batch.style), find_style(table, batch.base))
        return Beer(batch_id, batch, said, self.at_batch(batch_id, "style"), self.at_batch(batch_id, "base"))

    def vitals(self, batch_id: str) -> Vitals | None:
        """Vitals of a batch, or None where its records contradict each other (rule ``vitals-contradict``)."""
        if batch_id not in self._vitals:
            try:
                self._vitals[batch_id] = batch_vitals(self.season.batches[batch_id])
            except QuantityError:
                self._vitals[batch_id] = None
        return self._vitals[batch_id]

    def fit(self, beer: Beer) -> Fit | None:
        """Fit of a beer to its declared style, or None where the style or every vital is unknown."""
        vitals, style, base = self.vitals(beer.batch_id), beer.said.style, beer.said.base
        if vitals is None or style is None or not vitals.known:
            return None
        key = (beer.batch_id, style.id, base.id if base else "")
        if key not in self._fits:
            self._fits[key] = fit(vitals, style, base)
        return self._fits[key]

    def ranking(self, batch_id: str) -> Ranking:
        """All styles ranked for a batch. Raises KeyError for a batch without vitals."""
        if batch_id not in self._rankings:
            batch, vitals = self.season.batches[batch_id], self.vitals(batch_id)
            if vitals is None:
                raise KeyError(batch_id)
            kinds = None if batch.additions is None else tuple(dict.fromkeys(a.kind for a in batch.additions))
            traits = batch.traits.model_dump(exclude_none=True)
            self._rankings[batch_id] = rank(vitals, traits, self.season.table, kinds)
        return self._rankings[batch_id]

    def match(self, entered: Entered) -> CategoryMatch:
        """The styles of an entry's category."""
        key = (entered.competition_id, entered.category.code)
        if key not in self._matches:
            self._matches[key] = category_styles(entered.category, self.season.table)
        return self._matches[key]

    @cached_property
    def style_words(self) -> frozenset[str]:
        """Every word that occurs in the name of a style or a family."""
        table = self.season.table
        titles = (name_key(title) for title in table.families.values())
        return frozenset(w for key in (*table.names, *table.ambiguous, *titles) for w in key.split())

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
        other = "fg" if vital == "og" else "og"
        return self.vital_place(batch_id, other) if vital in {"abv", "og", "fg"} and _has(batch, other) else Place(
            batch_file(self.season, batch_id), ()
        )


def _has(batch: Batch, vital: str) -> bool:
    return getattr(batch.measured, vital) is not None or getattr(batch.predicted, vital) is not None


def listed(names: Iterable[str], limit: int = 6) -> str:
    """Names with commas, the rest left out."""
    all_names = list(names)
    return ", ".join(all_names[:limit]) + (" …" if len(all_names) > limit else "")


def competition_of(context: Context, competition_id: str) -> Competition:
    """A competition of the season. Raises KeyError if there is none of this id."""
    return context.season.competitions[competition_id]


def category_place(categories: list[Category], category: Category) -> int:
    """The place of a category in its competition, from 0."""
    return categories.index(category)
