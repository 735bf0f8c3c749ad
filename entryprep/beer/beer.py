"""One beer, worked out once: its vitals, the beer underneath, what can be tasted, where it belongs and how it fits."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from entryprep.beer.fitting import Fit, best_first, fitted
from entryprep.beer.leaning import ranked
from entryprep.beer.placement import Placement, placed
from entryprep.beer.questions import LEAST_BITS, Question, questions
from entryprep.beer.ranking import Ranking, Suggestion, checked_kinds, checked_traits, explained
from entryprep.beer.traits import QUIET_KINDS
from entryprep.measures import refusal
from entryprep.records.stylenames import Named, named, named_base, refused
from entryprep.tables.style import ADDITIONS, TRAITS, Style
from entryprep.tables.styles import StyleTable, load_styles
from entryprep.tables.things import Thing
from entryprep.text import listed
from entryprep.vitals import Reading, Vitals

if TYPE_CHECKING:
    from entryprep.beer.blends import BlendError
    from entryprep.beer.caution import Caution
    from entryprep.beer.dosing import Verdict
    from entryprep.beer.forecast import Forecast
    from entryprep.beer.recipe_traits import Inferred
    from entryprep.beer.routing import Route
    from entryprep.beer.underneath import Underneath
    from entryprep.records.batch import Batch
    from entryprep.tables.routing import RoutingRule

# ruff: noqa: PLC0415 - what few beers need is loaded when one asks for it: a plain one is ranked in half the time
Value = float | str | Reading | None
_OF_THE_RECORD = ("forecast", "readings", "verdicts", "_undone", "_blended", "vitals", "base_vitals")


class Beer:
    """One beer; everything is worked out when first asked for, and once.

    From numbers, as here; from a record by :meth:`from_batch`; from a recipe file by :meth:`from_recipe`. Traits and
    kinds of addition are those of the style table; ``additions`` None says nothing is known of them, empty that there
    are none. ``style`` and ``base`` are what it is declared as, however spelt. Raises QuantityError for numbers that
    are not plausible and for traits or kinds that are not known.

    >>> beer = Beer(og=1.052, fg=1.012, ibu=32, srm=28, traits={"fermentation": "ale"}, style="American porter")
    >>> beer.style.id, round(beer.vitals["abv"].value, 1), beer.vitals.og.value
    ('american-porter', 5.3, 1.052)
    """

    def __init__(
        self,
        og: Value = None,
        fg: Value = None,
        abv: Value = None,
        ibu: Value = None,
        srm: Value = None,
        co2: Value = None,
        *,
        name: str = "This beer",
        traits: Mapping[str, str] | None = None,
        additions: Iterable[str] | None = None,
        style: Style | str | None = None,
        base: Style | str | None = None,
        table: StyleTable | None = None,
    ) -> None:
        stated = Vitals(og, fg, abv, ibu, srm, co2)
        self._set(name, table, None, stated, checked_traits(traits), checked_kinds(additions), style, base, (), None)

    def _set(
        self,
        name: str,
        table: StyleTable | None,
        batch: Batch | None,
        stated: Vitals | None,
        traits: Mapping[str, str],
        kinds: tuple[str, ...] | None,
        style: Style | str | None,
        base: Style | str | None,
        routing: Sequence[RoutingRule],
        lookup: Callable[[str], Beer | None] | None,
    ) -> None:
        self.name = name
        self.table = load_styles() if table is None else table
        self.batch = batch
        self.traits: Mapping[str, str] = traits
        self._style, self._base = style or "", base or ""
        self._stated, self._kinds, self._routing = stated, kinds, tuple(routing)
        self._lookup = lookup
        self._fits: dict[tuple[int, int], Fit] = {}

    @classmethod
    def of_vitals(
        cls,
        vitals: Vitals,
        traits: Mapping[str, str] | None = None,
        additions: Iterable[str] | None = None,
        *,
        style: Style | str | None = None,
        base: Style | str | None = None,
        table: StyleTable | None = None,
        name: str = "This beer",
    ) -> Beer:
        """A beer of which the vitals are worked out already. Raises QuantityError as the class does."""
        self = cls.__new__(cls)
        kinds = checked_kinds(additions)
        self._set(name, table, None, vitals, checked_traits(traits), kinds, style, base, (), None)
        return self

    @classmethod
    def from_batch(
        cls,
        batch: Batch,
        *,
        style: Style | str | None = None,
        base: Style | str | None = None,
        table: StyleTable | None = None,
        routing: Sequence[RoutingRule] = (),
        lookup: Callable[[str], Beer | None] | None = None,
        vitals: Vitals | None = None,
    ) -> Beer:
        """The beer of a record. ``style`` and ``base`` outrank the batch's own words, as where an entry says others.

        ``routing`` are a competition's own rules; ``lookup`` finds the beers a blend is made of by the ids of their
        batches; ``vitals`` are stated in place of the record's. Raises QuantityError where measured and predicted
        gravities contradict each other.
        """
        self = cls.__new__(cls)
        traits = batch.traits.model_dump(exclude_none=True)
        style, base = style or batch.style, base or batch.base
        self._set(batch.name, table, batch, vitals, traits, None, style, base, routing, lookup)
        self._check_readings()
        return self

    @classmethod
    def from_recipe(cls, path: str | Path, recipe: str | None = None, table: StyleTable | None = None) -> Beer:
        """The beer of a BeerJSON or BeerXML file; ``recipe`` names one where it holds several.

        Raises RecordError, with every problem at its line and column, for a file that cannot be used.
        """
        from entryprep.formats.opening import read_recipe

        return cls.from_batch(read_recipe(Path(path), recipe).batch, table=table)

    def changed(
        self,
        *,
        vitals: Mapping[str, Value] | None = None,
        traits: Mapping[str, str] | None = None,
        additions: Iterable[str] | None = None,
        style: Style | str | None = None,
        base: Style | str | None = None,
        routing: Sequence[RoutingRule] | None = None,
    ) -> Beer:
        """The same beer, with what is given in place of what it had; None leaves things as they are.

        New vitals count as measured, and what was worked out of the old ones follows them. Raises QuantityError as the
        class does.
        """
        other = Beer.__new__(type(self))
        stated, batch = self._stated, self.batch
        if vitals and batch is not None and stated is None:
            batch = _measured(batch, vitals)
        elif vitals:
            kept = {n: r for n, r in self.readings.known.items() if r.origin != "derived"}
            stated = Vitals(**{**kept, **vitals})
        kinds = self._kinds if additions is None else checked_kinds(additions)
        other._set(
            self.name,
            self.table,
            batch,
            stated,
            {**self.traits, **checked_traits(traits)},
            kinds,
            style or self._style,
            base or self._base,
            self._routing if routing is None else routing,
            self._lookup,
        )
        if not vitals:  # what does not follow from style, base and routing was worked out already
            other.__dict__.update({name: self.__dict__[name] for name in _OF_THE_RECORD if name in self.__dict__})
        other._check_readings()
        return other

    # ---- what the records say

    @cached_property
    def forecast(self) -> Forecast | None:
        """What the recipe predicts, or None where there is none."""
        if self.batch is None or self.batch.recipe is None:
            return None
        from entryprep.beer.forecast import forecast

        return forecast(self.batch)

    @cached_property
    def readings(self) -> Vitals:
        """Vitals as they were read, stated or predicted, before anything is worked out of additions and blends."""
        if self._stated is not None or self.batch is None:
            return self._stated or Vitals()
        from entryprep.beer.readings import batch_vitals

        return batch_vitals(self.batch, self.forecast)

    def _check_readings(self) -> None:
        """Raise what :attr:`readings` raises now rather than at the first question."""
        _ = self.readings

    @cached_property
    def inferred(self) -> tuple[Inferred, ...]:
        """Traits that follow from the recipe and that nobody stated, with how much each value is spoken for."""
        if self.batch is None or self.batch.recipe is None:
            return ()
        from entryprep.beer.recipe_traits import recipe_traits

        found = recipe_traits(self.batch.recipe, self.batch.volume)
        return tuple(each for each in found if each.trait not in self.traits)

    @cached_property
    def verdicts(self) -> tuple[Verdict, ...]:
        """For each addition whether it can be tasted, in the order written."""
        if self.batch is None or not self.batch.additions:
            return ()
        from entryprep.beer.dosing import verdicts

        return verdicts(self.batch)

    @cached_property
    def under(self) -> Underneath | None:
        """What was done to the base beer; None where it is not known, or cannot be (see :attr:`problem`)."""
        return self._undone[0]

    @cached_property
    def problem(self) -> str:
        """Why the beer underneath cannot be worked out: amounts that no beer could hold; else empty."""
        return self._undone[1]

    @cached_property
    def _undone(self) -> tuple[Underneath | None, str]:
        if self.batch is None or _as_brewed(self.batch):
            return None, ""
        from entryprep.beer.underneath import underneath, underneath_blend

        made, _ = self._blended
        try:
            if made is not None:
                return underneath_blend(self.batch, self.readings, made), ""
            return underneath(self.batch, self.forecast, self._stated), ""
        except ValueError as error:
            return None, refusal(error)

    @property
    def of_parts(self) -> Mapping[str, Reading]:
        """What the parts of a blend make together, whatever was read of it; empty where it is none, or not clear."""
        return self._blended[0] or {}

    @property
    def blend_problem(self) -> BlendError | None:
        """Why the vitals of a blend cannot be worked out from its parts, or None."""
        return self._blended[1]

    @cached_property
    def _blended(self) -> tuple[dict[str, Reading] | None, BlendError | None]:
        if self.batch is None or not self.batch.blend or self._stated is not None:
            return None, None
        from entryprep.beer.blends import BlendError, blended, parts_of

        try:
            return blended(self.batch, parts_of(self.batch, self._lookup)), None
        except BlendError as error:
            return None, error

    def part(self, batch_id: str) -> Beer | None:
        """One of the beers that this one was blended from, or None where it is not at hand."""
        return self._lookup(batch_id) if self._lookup else None

    @property
    def vitals_in_blend(self) -> Vitals:
        """Vitals as served, for a beer blended from this one. Raises BlendError where this one is not clear."""
        if self.blend_problem is not None and not {"og", "fg"} <= self.readings.known.keys():
            raise self.blend_problem
        return self.vitals

    @cached_property
    def vitals(self) -> Vitals:
        """Vitals of the beer as served, with errors. Of a blend that is not clear, what was read of it."""
        return self.under.served if self.under is not None else self.readings

    @cached_property
    def base_vitals(self) -> Vitals | None:
        """Vitals of the beer underneath, or None where they are those of the beer.

        Its carbonation is that of the beer as served: nobody will taste it with another.
        """
        if self.under is None or not self.under.changed:
            return None
        gas, below = self.vitals.co2, self.under.base.known
        return self.under.base if gas is None or "co2" in below else Vitals(**{**below, "co2": gas})

    # ---- what it is declared as

    @property
    def style_name(self) -> str:
        """The declared style in the words of who declared it; empty if none is."""
        return self._style.name if isinstance(self._style, Style) else self._style

    @property
    def base_name(self) -> str:
        """The declared base in the words of who declared it; empty if none is."""
        return self._base.name if isinstance(self._base, Style) else self._base

    @cached_property
    def style_named(self) -> Named:
        """What the words of the declared style mean."""
        return _settled(self._style) if isinstance(self._style, Style) else named(self.table, self._style)

    @cached_property
    def base_named(self) -> Named:
        """What the words of the declared base mean."""
        return _settled(self._base) if isinstance(self._base, Style) else named_base(self.table, self._base)

    @property
    def style(self) -> Style | None:
        """The declared style, where its name settles it."""
        return self.style_named.style

    @cached_property
    def base(self) -> Style | None:
        """The base: the declared one where its name settles a style; else a plain style declared with what it has not.

        A family leaves it open. Coffee in what is declared as a plain porter is something on a base of porter.
        """
        if self.base_named.style is not None or self.base_named.how != "missing":
            return self.base_named.style
        style = self.style
        if style is None or style.specialty or self.batch is None or not self.batch.additions:
            return None
        return None if all(style.knows(thing) for thing in self._tasted) else style

    @property
    def _tasted(self) -> tuple[Thing, ...]:
        """Additions that can be tasted, cultures left out: how a beer was soured is told otherwise."""
        from entryprep.beer.routing import told

        counted = (told(verdict) for verdict in self.verdicts if verdict.counts)
        return tuple(each.thing for each in counted if each.kind in ADDITIONS and each.kind != "culture")

    # ---- where it belongs

    @property
    def kinds(self) -> tuple[str, ...] | None:
        """Kinds of addition that decide where it belongs; None where nothing is said of additions."""
        return None if self.things is None else tuple(dict.fromkeys(thing.kind for thing in self.things))

    @cached_property
    def things(self) -> tuple[Thing, ...] | None:
        """What was added and decides where it belongs; None where nothing is said of additions."""
        if self._kinds is not None:
            return tuple(map(Thing, self._cultured(self._kinds)))
        if self.batch is None:
            return None
        from entryprep.beer.routing import told_things

        return told_things(self.batch, self.base, self.verdicts)

    def _cultured(self, kinds: tuple[str, ...]) -> tuple[str, ...]:
        """A wild fermentation counts as a culture, whether or not it is named as one."""
        wild = self.traits.get("fermentation") == "wild" and "culture" not in kinds
        return (*kinds, "culture") if wild else kinds

    @cached_property
    def route(self) -> Route:
        """Where the rules send a beer with what was added to it: a competition's own first."""
        from entryprep.beer.routing import batch_facts, facts_of_kinds, route

        if self.batch is not None and self._kinds is None:
            facts = batch_facts(self.batch, self.base, self.verdicts, self.vitals)
        else:
            facts = facts_of_kinds(self.kinds or (), self.base)
        return route(facts, self._routing)

    def ranked(self, styles: Iterable[Style] | None = None) -> Ranking:
        """Styles by share, all of the table or those given; the routing rules lean where anything is known."""
        return self.ranking if styles is None else ranked(self, styles)

    @cached_property
    def ranking(self) -> Ranking:
        """All styles of the table by share."""
        return ranked(self)

    def fit(self, style: Style | str) -> Fit:
        """Fit to a style, or a name of one: of the beer underneath where the style's vitals follow its base.

        A base that leaves several styles open counts as the one of them that fits best, and the fit names it.
        Raises UnknownStyle or AmbiguousStyle for a name that leads to no single style.
        """
        wanted = self.named_style(style)
        if self.base is None and wanted.follows_base and self.base_named.how in {"family", "unsettled"}:
            bases = [base for base in map(self.table.styles.__getitem__, self.base_named.candidates) if base.ranges]
            fits = [self._fit_on(wanted, base) for base in bases]
            if fits:
                return min(fits, key=best_first)
        return self._fit_on(wanted, self.base)

    def _fit_on(self, style: Style, base: Style | None) -> Fit:
        key = id(style), id(base)  # a fit holds on to both
        if key not in self._fits:
            vitals = self.base_vitals or self.vitals if base is not None and style.follows_base else self.vitals
            self._fits[key] = fitted(vitals, style, base, self.traits, self._strays(style, base))
        return self._fits[key]

    def _strays(self, style: Style, base: Style | None) -> tuple[str, ...]:
        """Kinds of addition that can be tasted and are no part of a style."""
        strange = [thing for thing in self.things or () if not style.knows(thing) and thing.kind not in QUIET_KINDS]
        if base is not None and style.specialty:
            strange = [thing for thing in strange if not base.knows(thing)]
        return tuple(dict.fromkeys(thing.kind for thing in strange))

    def fit_of_base(self, base: Style) -> Fit:
        """Fit of what is underneath to a base, as :meth:`fit` tells it of the special style the beer is declared as.

        Of a beer declared as no such style, the special style it should be entered as, if any.
        """
        style = self.style if self.style is not None else self.placement.style
        found = self._fit_on(style if style is not None and style.follows_base else base, base)
        if found.style is base:  # no special style: what was added is then no part of the base, nor a stranger to it
            return fitted(self.base_vitals or self.vitals, base)
        return replace(found, style=base, base=None)

    def named_style(self, style: Style | str) -> Style:
        """A style by itself or by name. Raises UnknownStyle or AmbiguousStyle."""
        if isinstance(style, Style):
            return style
        found = named(self.table, style)
        if found.style is None:
            raise refused(found, self.table)
        return found.style

    def suggestions(self, limit: int = 5) -> list[Suggestion]:
        """The styles that suit it best, at most ``limit``, each with share, fit and reasons.

        Shares are among all styles and "none of these", so those of a short list sum to less than 1.
        """
        return [
            explained(style, share, self.fit(style), self.traits, self.things)
            for style, share in self.ranking.shares[: max(limit, 0)]
        ]

    @cached_property
    def questions(self) -> tuple[Question, ...]:
        """What is worth asking for, the most informative first: unknown traits, and what was added and on which base.

        Of additions and base only while the answer is open, for then each answer is ranked.
        """
        found = questions(self.ranking, self.traits)
        if self.ranking.settled or self.batch is None or not self._is_special:
            return found
        from entryprep.beer.special_questions import special_questions

        special = special_questions(self)
        kept = tuple(each for each in special if each.bits >= LEAST_BITS) or (special[:1] if not found else ())
        return tuple(sorted((*found, *kept), key=lambda question: -question.bits))

    @property
    def _is_special(self) -> bool:
        """Whether something was added, its declared base speaks of more than a plain beer, or a specialty is likely."""
        likely = any(style.specialty for style, _ in self.ranking.shares[:3])
        return bool(self.things) or bool(self.route.facts) or self.base_named.how != "missing" or likely

    def answered(self, question: Question, value: str) -> Beer:
        """The beer with a question answered. Raises QuantityError or KeyError for an answer that is none."""
        return self.changed(traits={question.trait: value}) if question.trait in TRAITS else question.beers[value]

    def with_batch(self, **values: object) -> Beer:
        """The same beer with some fields of its record otherwise, and the vitals that were worked out of it.

        For answers that change what it tastes of, not what it was made of. Raises ValueError for a beer without a
        record.
        """
        if self.batch is None:
            raise ValueError("a beer of numbers has no record")
        other = self.changed()
        other.batch = self.batch.model_copy(update=values)
        other.__dict__.pop("verdicts", None)
        return other

    @cached_property
    def placement(self) -> Placement:
        """What to enter it as, on which base, how sure, and what would tip it: the answer that all else follows."""
        return placed(self)

    def own_to(self, style: Style) -> str:
        """Which of its additions a style has by tradition, in words; empty where not all of them."""
        if style.specialty or not self.things or not all(map(style.knows, self.things)):
            return ""
        said = [verdict.addition.what for verdict in self.verdicts if verdict.counts]
        return listed(said or [thing.kind for thing in self.things])

    @cached_property
    def cautions(self) -> tuple[Caution, ...]:
        """What can hurt, or cannot be true, of it; what hangs on the day is left out."""
        from entryprep.beer.cautions import beer_cautions

        return beer_cautions(self)

    def advice(self, style: Style | str | None = None, units: str | None = None) -> tuple[str, ...]:
        """What would bring the next batch inside a style, the declared one if none is named.

        Amounts are in ``units``, metric or us; None: those that are spoken (:func:`entryprep.measures.speak`).
        """
        wanted = self.style if style is None else self.named_style(style)
        if wanted is None:
            return ()
        from entryprep.beer.advice import next_time
        from entryprep.records.batch import Batch

        return next_time(self.batch or Batch(name=self.name), self.fit(wanted), units)

    def __repr__(self) -> str:
        return f"<{self.name}: {self.vitals!r}>"


def _measured(batch: Batch, vitals: Mapping[str, Value]) -> Batch:
    """A batch with these vitals as measured."""
    from entryprep.records.vitalsrecord import VitalsRecord

    known = {name: reading for name, reading in Vitals(**vitals).known.items() if name in vitals}
    items = {name: {"value": reading.value, "error": reading.error} for name, reading in known.items()}
    own = VitalsRecord(**{n: {k: v for k, v in item.items() if v} for n, item in items.items()})
    measured = batch.measured.model_copy(update={name: getattr(own, name) for name in known})
    return batch.model_copy(update={"measured": measured})


def _as_brewed(batch: Batch) -> bool:
    """Whether nothing was done to a beer that its vitals would have to be worked out from."""
    return not (batch.additions or batch.recipe or batch.concentrated or batch.water_added or batch.blend)


def _settled(style: Style) -> Named:
    return Named(style.name, "named", style, (style.id,))
