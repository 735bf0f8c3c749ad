"""Commands on a season: its records, its checks, its papers, its plan.

Each body is loaded only when its command runs. Annotations are not postponed here: typer evaluates every one, and
compiling them from text takes a tenth of `--help`.
"""

from pathlib import Path
from typing import Annotated, Optional

import typer

from entryprep.cli.boundary import guarded
from entryprep.cli.options import (
    Despite,
    Font,
    Json,
    Layout,
    Map,
    Nudge,
    Only,
    Out,
    Page,
    RecipeName,
    SeasonFolder,
    Sheet,
    StartAt,
    SvgFile,
    Today,
    Units,
)


@guarded
def demo(
    folder: Annotated[Path, typer.Argument(help="Folder to write the demo season to.")] = Path("demo-season"),
    page: Page = "",
    json: Json = False,
    units: Units = "metric",
) -> None:
    """Write a demo season, check it and prepare its papers.

    Example: entryprep demo
    """
    from entryprep.cli.demo import run

    run(folder, page, json)


@guarded
def start(
    folder: Annotated[Path, typer.Argument(help="Folder to lay the season out in.")],
    json: Json = False,
) -> None:
    """Lay out a new season with commented starter records.

    Example: entryprep start spring-2027
    """
    from entryprep.cli.start import run

    run(folder, json)


@guarded
def add(
    what: Annotated[str, typer.Argument(help="beer, competition, entry, number or value.")],
    words: Annotated[
        Optional[list[str]],  # noqa: UP045
        typer.Argument(help="A recipe file, names, and field=value; too little is asked for.", show_default=False),
    ] = None,
    season: Annotated[Path, typer.Option("--season", help="The folder of the season.")] = Path(),
    sheet: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option("--from", help="A sheet of beers, categories or numbers.", show_default=False),
    ] = None,
    columns: Map = [],  # noqa: B006
    recipe: RecipeName = "",
    ask: Annotated[bool, typer.Option("--ask", help="Ask for what is missing, one question at a time.")] = False,
    replace: Annotated[bool, typer.Option("--replace", help="Let a new value or number replace what stands.")] = False,
    json: Json = False,
) -> None:
    """Add a beer, a competition, an entry, issued numbers or a value; nothing that stands is overwritten.

    Example: entryprep add beer name="Night Ferry" og=1.056 fg=1.014 ibu=32 srm=30 bottles=12
    """
    from entryprep.cli.add import run
    from entryprep.cli.adding import Wanted

    run(what, words or [], Wanted(season, sheet, columns, recipe, ask, replace, json))


@guarded
def check(
    season: SeasonFolder = Path(),
    competition: Only = "",
    today: Today = "",
    json: Json = False,
    units: Units = "metric",
) -> None:
    """Check a season: records, styles, declarations, bottles, limits, dates, safety.

    Example: entryprep check my-season
    """
    from entryprep.cli.season import run_check

    run_check(season, competition, today, json)


@guarded
def prepare(
    season: SeasonFolder = Path(),
    competition: Only = "",
    out: Out = None,
    page: Page = "",
    sheet: Sheet = "",
    start_at: StartAt = 1,
    nudge: Nudge = "",
    layout: Layout = "",
    font: Font = [],  # noqa: B006
    despite_errors: Despite = False,
    today: Today = "",
    json: Json = False,
    units: Units = "metric",
) -> None:
    """Check a season and print everything: slips, packing and shipping lists, fit sheets, entries, an overview.

    Example: entryprep prepare my-season --page a4
    """
    from entryprep.cli.season import run_prepare
    from entryprep.cli.slips import Slips

    slips = Slips(sheet, start_at, nudge, layout, tuple(font))
    run_prepare(season, competition, out, page, despite_errors, today, json, slips=slips)


@guarded
def labels(
    season: SeasonFolder = Path(),
    competition: Only = "",
    out: Out = None,
    page: Page = "",
    sheet: Sheet = "",
    start_at: StartAt = 1,
    nudge: Nudge = "",
    layout: Layout = "",
    font: Font = [],  # noqa: B006
    calibrate: Annotated[
        bool,
        typer.Option("--calibrate", help="Print a page of rulers and outlines instead, to adjust by."),
    ] = False,
    beer: Annotated[
        str, typer.Option("--beer", help="Only this beer's slips, again, into a file of their own.", show_default="all")
    ] = "",
    bottle: Annotated[
        int, typer.Option("--bottle", min=0, help="With --beer: only this bottle's.", show_default="all")
    ] = 0,
    despite_errors: Despite = False,
    today: Today = "",
    json: Json = False,
    units: Units = "metric",
) -> None:
    """Print the slips that go round the bottles, one per bottle.

    Example: entryprep labels my-season --sheet letter-8 --start-at 3
    """
    from entryprep.cli.season import run_prepare
    from entryprep.cli.slips import Slips, run_calibrate

    slips = Slips(sheet, start_at, nudge, layout, tuple(font), beer, bottle)
    if calibrate:
        run_calibrate(season, out, page, slips, json)
    else:
        run_prepare(season, competition, out, page, despite_errors, today, json, parts=("slips",), slips=slips)


@guarded
def packing(
    season: SeasonFolder = Path(),
    competition: Only = "",
    out: Out = None,
    page: Page = "",
    despite_errors: Despite = False,
    today: Today = "",
    font: Font = [],  # noqa: B006
    json: Json = False,
    units: Units = "metric",
) -> None:
    """Print what to take from the cellar and how the boxes are filled.

    Example: entryprep packing my-season
    """
    from entryprep.cli.season import run_prepare
    from entryprep.cli.slips import Slips

    slips = Slips(fonts=tuple(font))
    run_prepare(season, competition, out, page, despite_errors, today, json, parts=("packing",), slips=slips)


@guarded
def shipping(
    season: SeasonFolder = Path(),
    competition: Only = "",
    way: Annotated[
        str,
        typer.Option("--way", help="hand, drop-off, club, carrier, post or flight.", show_default="as in entries.yaml"),
    ] = "",
    out: Out = None,
    page: Page = "",
    despite_errors: Despite = False,
    today: Today = "",
    font: Font = [],  # noqa: B006
    json: Json = False,
    units: Units = "metric",
) -> None:
    """Print the shipping checklist for the way the bottles travel.

    Example: entryprep shipping my-season --way carrier
    """
    from entryprep.cli.season import run_prepare
    from entryprep.cli.slips import Slips

    slips = Slips(fonts=tuple(font))
    run_prepare(season, competition, out, page, despite_errors, today, json, ("shipping",), way, slips)


@guarded
def chart(season: SeasonFolder = Path(), picture: SvgFile = None, today: Today = "", json: Json = False) -> None:
    """All beers against all categories of all competitions: fit, share, what is missing.

    Example: entryprep chart my-season --picture beers.svg
    """
    from entryprep.cli.chart import run

    run(season, picture, today, json)


@guarded
def plan(
    season: SeasonFolder = Path(),
    budget: Annotated[
        str, typer.Option("--budget", help="All the money there is: 120, or '120 USD'.", show_default="no limit")
    ] = "",
    rate: Annotated[
        list[str],
        typer.Option("--rate", help="Worth of another currency: EUR=1.08; may be given again.", show_default=False),
    ] = [],  # noqa: B006
    money_weight: Annotated[
        float, typer.Option("--money-weight", min=0.0, max=10.0, help="Standing that one unit of money is worth.")
    ] = 0.01,
    least: Annotated[
        float, typer.Option("--least", min=0.0, max=1.0, help="Least expected standing of an entry.")
    ] = 0.1,
    one_more: Annotated[
        int, typer.Option("--one-more", min=0, max=10_000, help="For how many limits to try one more.")
    ] = 3,
    today: Today = "",
    write: Annotated[bool, typer.Option("--write", help="Append the plan's entries to entries.yaml.")] = False,
    json: Json = False,
    units: Units = "metric",
) -> None:
    """Plan the season: which beers go where, what it costs, why not the others.

    Example: entryprep plan my-season --budget 150
    """
    from entryprep.cli.plan import run

    run(season, budget, rate, money_weight, least, one_more, today, write, json)


@guarded
def calendar(
    season: SeasonFolder = Path(),
    planned: Annotated[bool, typer.Option("--planned", help="Count the entries of a plan too, unwritten.")] = False,
    out: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option("--out", help="Also write this iCalendar file (.ics).", show_default=False),
    ] = None,
    picture: SvgFile = None,
    today: Today = "",
    json: Json = False,
) -> None:
    """Every day of the season worked back: brew, package, register, send, deliver, judge.

    Example: entryprep calendar my-season --out season.ics
    """
    from entryprep.cli.calendar import run

    run(season, planned, out, picture, today, json)


@guarded
def schema(
    record: Annotated[str, typer.Argument(help="brewer, batch, competition, entries, styles, sheet or slip.")],
) -> None:
    """Print the JSON Schema of a record, for an editor to complete and check it.

    Example: entryprep schema batch > batch.schema.json
    """
    from entryprep.cli.schema import run

    run(record)
