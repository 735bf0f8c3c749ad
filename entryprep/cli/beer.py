"""One beer as the commands see it: from a batch file, a recipe file, or numbers on the command line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from entryprep.beer.beer import Assessed, assessed, assessed_numbers
from entryprep.beer.blends import blend_vitals
from entryprep.beer.routing import facts_of_kinds, route
from entryprep.cli.boundary import UsageProblem
from entryprep.errors import EntryprepError
from entryprep.formats.opening import ENDINGS, WithRecipe, read_recipe, with_recipe
from entryprep.reading.files import read_yaml
from entryprep.reading.validate import validate
from entryprep.reading.yamltext import RecordError
from entryprep.records.batch import Batch
from entryprep.tables.style import ADDITIONS, Style
from entryprep.tables.styles import StyleTable, extended_table, load_styles
from entryprep.vitals import Reading, Vitals

if TYPE_CHECKING:
    from entryprep.records.competition import Competition


@dataclass(frozen=True)
class Beer:
    """One beer as the commands see it."""

    title: str
    assessed: Assessed
    style: str
    base: str
    table: StyleTable
    batch: Batch | None = None
    ignored: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()

    @property
    def vitals(self) -> Vitals:
        """Its vitals, as served."""
        return self.assessed.vitals

    @property
    def base_style(self) -> Style | None:
        """The declared base style, if it names one style."""
        return self.assessed.base


def the_beer(
    file: Path | None,
    given: Mapping[str, str],
    traits: Sequence[str] = (),
    additions: Sequence[str] = (),
    recipe: str = "",
    competition: Competition | None = None,
) -> Beer:
    """The beer of a batch file, or of numbers; numbers, traits and additions given beside a file replace the file's."""
    numbers = {name: value for name, value in given.items() if value}
    if file is None:
        if not numbers:
            raise UsageProblem("no beer was named", "name a batch file, or give numbers such as --og 1.048 --fg 1.010")
        kinds = addition_options(additions) if additions else None
        alone = assessed_numbers(Vitals(**numbers), trait_options(traits), kinds)
        return Beer("This beer", alone, "", "", _table_near(None))
    read = read_batch(file, recipe)
    batch, table = read.batch, _table_near(file)
    with _named(file):
        base = _base_of(batch, table)
        found = assessed(batch, base, competition.routing if competition else ())
        if batch.blend:
            found = replace(found, vitals=blend_vitals(batch, lambda batch_id: _beside(file, batch_id), file.stem))
    if numbers:
        known = found.vitals.known.items()
        own: dict[str, Reading | str] = {n: r for n, r in known if r.origin != "derived" or n == "co2"}
        found = replace(found, vitals=Vitals(**{**own, **numbers}))
    if traits:
        found = replace(found, traits={**found.traits, **trait_options(traits)})
    if additions:
        kinds = addition_options(additions)
        found = replace(found, kinds=kinds, route=route(facts_of_kinds(kinds, base)))
    return Beer(batch.name, found, batch.style or "", batch.base or "", table, batch, read.ignored, read.assumed)


@contextmanager
def _named(file: Path) -> Iterator[None]:
    """What is refused of a file's beer names the file."""
    try:
        yield
    except EntryprepError as error:
        error.where = error.where or file.as_posix()
        raise


def _beside(file: Path, batch_id: str) -> Batch | None:
    """A batch of the same folder, or None if there is none."""
    path = file.with_name(f"{batch_id}.yaml")
    return read_batch(path).batch if path.is_file() else None


def _base_of(batch: Batch, table: StyleTable) -> Style | None:
    """The declared base as a style; None where none is declared, or a family. Raises as ``StyleTable.find``."""
    if not batch.base or table.of_family(batch.base):
        return None
    return table.find(batch.base)


def read_batch(file: Path, recipe: str = "") -> WithRecipe:
    """Read one batch, with its recipe: a batch file, or a BeerJSON or BeerXML file itself, of which ``recipe`` is read.

    Raises RecordError with every problem in it.
    """
    if file.suffix.lower() in ENDINGS:
        read = read_recipe(file, recipe or None)
        return WithRecipe(read.batch, read.ignored, read.assumed)
    batch, problems = validate(read_yaml(file), Batch)
    if batch is None:
        raise RecordError(problems)
    if recipe and batch.recipe is not None and batch.recipe.file is not None:
        batch = batch.model_copy(update={"recipe": batch.recipe.model_copy(update={"name": recipe})})
    parent = file.resolve().parent
    return with_recipe(batch, parent.parent if parent.name == "batches" else parent)


def _table_near(file: Path | None) -> StyleTable:
    """The style table, with the user's own styles if the batch lies in a season that has some."""
    folder = file.resolve().parent.parent / "styles" if file else None
    if folder is None or not folder.is_dir() or not (folder.parent / "batches").is_dir():
        return load_styles()
    own, problems = extended_table(folder, "styles")
    if problems:
        raise RecordError(problems)
    return own


def trait_options(options: Sequence[str]) -> dict[str, str]:
    """``fermentation=lager`` and the like, by name."""
    result = {}
    for option in options:
        name, equals, value = option.partition("=")
        if not equals or not value:
            raise UsageProblem(f"--trait {option} has not the form name=value", "write --trait fermentation=lager")
        result[name.strip().replace("-", "_")] = value.strip()
    return result


def addition_options(options: Sequence[str]) -> tuple[str, ...]:
    """Kinds of addition; ``none`` alone says there are none."""
    for option in options:
        if option != "none" and option not in ADDITIONS:
            raise UsageProblem(f"{option} is not a kind of addition", f"use one of {', '.join(ADDITIONS)}, or none")
    return tuple(dict.fromkeys(option for option in options if option != "none"))


def checked_units(units: str) -> None:
    """Refuse a system of units that is not metric or us."""
    if units not in {"metric", "us"}:
        raise UsageProblem(f"--units {units} is not known", "use metric or us")
