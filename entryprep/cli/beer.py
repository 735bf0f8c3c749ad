"""One beer as the commands are given it: a batch file, a recipe file, or numbers on the command line."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from entryprep.beer.beer import Beer
from entryprep.cli.boundary import UsageProblem
from entryprep.errors import EntryprepError
from entryprep.records.stylenames import Named, refused
from entryprep.tables.style import ADDITIONS, Style
from entryprep.tables.styles import StyleTable, extended_table, load_styles
from entryprep.vitals import Vitals

if TYPE_CHECKING:
    from entryprep.formats.opening import WithRecipe
    from entryprep.records.batch import Batch
    from entryprep.records.competition import Competition


@dataclass(frozen=True)
class Opened:
    """A beer, and what was ignored or assumed in reading its recipe file."""

    beer: Beer
    ignored: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()


def open_beer(
    file: Path | None,
    given: Mapping[str, str],
    traits: Sequence[str] = (),
    additions: Sequence[str] = (),
    recipe: str = "",
    competition: Competition | None = None,
    base: str = "",
) -> Opened:
    """The beer of a file, or of numbers; numbers, traits, additions and base given beside a file replace the file's.

    A declared base that leads to no style and no family is refused, one that is not spelt as in the table is told.
    """
    numbers = {name: value for name, value in given.items() if value}
    told, kinds = trait_options(traits), addition_options(additions) if additions else None
    if file is None:
        if not numbers:
            raise UsageProblem("no beer was named", "name a batch file, or give numbers such as --og 1.048 --fg 1.010")
        opened = Opened(Beer.of_vitals(Vitals(**numbers), told, kinds, base=base))
    else:
        read = read_batch(file, recipe)
        beside = _Beside(file)
        with _named(file):
            beer = Beer.from_batch(
                read.batch,
                base=base,
                table=_table_near(file),
                routing=competition.routing if competition else (),
                lookup=beside,
            )
            beside.beers[file.stem] = beer
            if beer.blend_problem is not None:
                raise beer.blend_problem
            opened = Opened(beer.changed(vitals=numbers, traits=told, additions=kinds), read.ignored, read.assumed)
            settled(opened.beer, opened.beer.base_named)
        return opened
    settled(opened.beer, opened.beer.base_named)
    return opened


@contextmanager
def _named(file: Path) -> Iterator[None]:
    """What is refused of a file's beer names the file."""
    try:
        yield
    except EntryprepError as error:
        error.where = error.where or file.as_posix()
        raise


def settled(beer: Beer, name: Named) -> Style | None:
    """The style of a name; a reading of it is told on stderr. Raises UnknownStyle or AmbiguousStyle.

    None where nothing was said, or a family, which is a base as good as a style.
    """
    if name.how in {"unsettled", "unknown"}:
        raise refused(name, beer.table)
    if name.how == "read" and name.style is not None:
        print(f"note: “{name.text}” is read as {name.style.name}.", file=sys.stderr)
    return name.style


class _Beside:
    """The beers of the batches in a file's folder, each read when it is first asked for."""

    def __init__(self, file: Path) -> None:
        self.file = file
        self.beers: dict[str, Beer | None] = {}

    def __call__(self, batch_id: str) -> Beer | None:
        """The beer of a batch, or None if there is no such file."""
        if batch_id not in self.beers:
            path = self.file.with_name(f"{batch_id}.yaml")
            self.beers[batch_id] = Beer.from_batch(read_batch(path).batch, lookup=self) if path.is_file() else None
        return self.beers[batch_id]


def read_batch(file: Path, recipe: str = "", of_wort: bool = True) -> WithRecipe:
    """Read one batch, with its recipe: a batch file, or a BeerJSON or BeerXML file itself, of which ``recipe`` is read.

    ``of_wort``: with what it shares with the batch of its wort. Raises RecordError with every problem in it.
    """
    from entryprep.formats.opening import ENDINGS, WithRecipe, read_recipe, with_recipe
    from entryprep.reading.files import read_yaml
    from entryprep.reading.validate import validate
    from entryprep.reading.yamltext import RecordError
    from entryprep.records.batch import Batch

    if file.suffix.lower() in ENDINGS:
        read = read_recipe(file, recipe or None)
        return WithRecipe(read.batch, read.ignored, read.assumed)
    batch, problems = validate(read_yaml(file), Batch)
    if batch is None:
        raise RecordError(problems)
    if recipe and batch.recipe is not None and batch.recipe.file is not None:
        batch = batch.model_copy(update={"recipe": batch.recipe.model_copy(update={"name": recipe})})
    parent = file.resolve().parent
    made = with_recipe(batch, parent.parent if parent.name == "batches" else parent)
    if batch.wort is None or not of_wort:
        return made
    return WithRecipe(_of_wort(file, made.batch), made.ignored, made.assumed)


def _of_wort(file: Path, batch: Batch) -> Batch:
    """A batch with what it shares with the batch of its wort, whose file lies beside its own."""
    from entryprep.records.wort import WortError, with_wort

    def beside(batch_id: str) -> Batch | None:
        path = file.with_name(f"{batch_id}.yaml")
        return read_batch(path, of_wort=False).batch if path.is_file() else None

    try:
        return with_wort(file.stem, batch, beside)
    except WortError as error:
        error.where = error.where or file.as_posix()
        raise


def _table_near(file: Path) -> StyleTable:
    """The style table, with the user's own styles if the batch lies in a season that has some."""
    folder = file.resolve().parent.parent / "styles"
    if not folder.is_dir() or not (folder.parent / "batches").is_dir():
        return load_styles()
    own, problems = extended_table(folder, "styles")
    if problems:
        from entryprep.reading.yamltext import RecordError

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
