"""Commands on one beer, and on the styles.

Each body is loaded only when its command runs. Annotations are not postponed here: typer evaluates every one, and
compiling them from text takes a tenth of `--help`.
"""

from pathlib import Path
from typing import Annotated, Optional

import typer

from entryprep.cli.boundary import guarded
from entryprep.cli.options import (
    Abv,
    AdditionOption,
    Base,
    Co2,
    Fg,
    File,
    Ibu,
    Json,
    Og,
    RecipeName,
    Srm,
    Style,
    TraitOption,
    Units,
)


@guarded
def vitals(
    file: File = None,
    og: Og = "",
    fg: Fg = "",
    abv: Abv = "",
    ibu: Ibu = "",
    srm: Srm = "",
    co2: Co2 = "",
    recipe: RecipeName = "",
    explain: Annotated[bool, typer.Option("--explain", help="Show how each number came about.")] = False,
    beerjson: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option("--beerjson", help="Write the recipe, vitals filled in, as BeerJSON.", show_default=False),
    ] = None,
    json: Json = False,
    units: Units = "metric",
) -> None:
    """Show the vitals of a beer, how sure each is and where it comes from.

    Example: entryprep vitals batches/fen-porter.yaml --explain
    """
    from entryprep.cli.vitals import show_vitals

    given = {"og": og, "fg": fg, "abv": abv, "ibu": ibu, "srm": srm, "co2": co2}
    show_vitals(file, given, json, recipe, explain, beerjson)


@guarded
def fit(
    file: File = None,
    style: Style = "",
    base: Base = "",
    og: Og = "",
    fg: Fg = "",
    abv: Abv = "",
    ibu: Ibu = "",
    srm: Srm = "",
    co2: Co2 = "",
    recipe: RecipeName = "",
    json: Json = False,
    units: Units = "metric",
) -> None:
    """Fit of a beer to one style, vital by vital.

    Example: entryprep fit batches/fen-porter.yaml --style "English porter"
    """
    from entryprep.cli.fit import show_fit

    given = {"og": og, "fg": fg, "abv": abv, "ibu": ibu, "srm": srm, "co2": co2}
    show_fit(file, given, style, base, json, recipe)


@guarded
def suggest(
    file: File = None,
    competition: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option("--competition", help="Rank the categories of this competition file.", show_default=False),
    ] = None,
    limit: Annotated[int, typer.Option("--limit", min=1, max=200, help="How many to show.")] = 5,
    og: Og = "",
    fg: Fg = "",
    abv: Abv = "",
    ibu: Ibu = "",
    srm: Srm = "",
    co2: Co2 = "",
    trait: TraitOption = [],  # noqa: B006
    addition: AdditionOption = [],  # noqa: B006
    recipe: RecipeName = "",
    ask: Annotated[bool, typer.Option("--ask", help="Ask for what would decide, one question at a time.")] = False,
    json: Json = False,
    units: Units = "metric",
) -> None:
    """Which styles, or categories of a competition, suit a beer best.

    Example: entryprep suggest --og 1.048 --fg 1.010 --trait fermentation=lager
    """
    from entryprep.cli.suggest import show_suggestions

    given = {"og": og, "fg": fg, "abv": abv, "ibu": ibu, "srm": srm, "co2": co2}
    show_suggestions(file, given, trait, addition, competition, limit, json, recipe, ask)


@guarded
def base(
    file: Annotated[Path, typer.Argument(help="A batch file, or a BeerJSON or BeerXML recipe.")],
    base: Base = "",
    recipe: RecipeName = "",
    json: Json = False,
    units: Units = "metric",
) -> None:
    """The beer underneath what was added, and whether it is the base that is declared.

    Example: entryprep base batches/keel-oak.yaml --base "old ale"
    """
    from entryprep.cli.base import run

    run(file, base, json, recipe)


@guarded
def styles(
    name: Annotated[str, typer.Argument(help="A style, a family, or nothing for all.", show_default=False)] = "",
    json: Json = False,
    units: Units = "metric",
) -> None:
    """List the style table, or show one style.

    Example: entryprep styles "dark lager"
    """
    from entryprep.cli.styles import run

    run(name, json)


@guarded
def compare(
    file: Annotated[Path, typer.Argument(help="A batch file, or a BeerJSON or BeerXML recipe.")],
    names: Annotated[
        Optional[list[str]],  # noqa: UP045
        typer.Argument(help="Styles, or category codes of --competition.", show_default="the three likeliest"),
    ] = None,
    competition: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option("--competition", help="Compare categories of this competition file.", show_default=False),
    ] = None,
    recipe: RecipeName = "",
    json: Json = False,
    units: Units = "metric",
) -> None:
    """Put styles, or categories of a competition, side by side for one beer.

    Example: entryprep compare batches/fen-porter.yaml "English porter" "American porter"
    """
    from entryprep.cli.compare import run

    run(file, names or [], competition, recipe, json)
