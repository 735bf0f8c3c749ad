"""Commands and their options; each body is loaded only when its command runs.

Annotations are not postponed here: typer evaluates every one, and compiling them from text takes a tenth of `--help`.
"""

from pathlib import Path
from typing import Annotated, Optional

import typer

from entryprep.cli.boundary import guarded
from entryprep.cli.shelf import SETTINGS, shelf

Json = Annotated[bool, typer.Option("--json", help="Print one JSON object and nothing else.")]
Units = Annotated[str, typer.Option("--units", help="metric or us, for temperatures and masses.")]
File = Annotated[
    Optional[Path],  # noqa: UP045
    typer.Argument(help="A batch file, or a BeerJSON or BeerXML recipe.", show_default=False),
]
SeasonFolder = Annotated[Path, typer.Argument(help="The folder of the season.")]
Today = Annotated[
    str, typer.Option("--today", help="Judge dates as of this day (year-month-day).", show_default="the day it is")
]
CompetitionFile = Annotated[
    Optional[Path],  # noqa: UP045
    typer.Option("--competition", help="The competition's file (competition.yaml).", show_default=False),
]
Only = Annotated[
    str, typer.Option("--competition", help="Only this competition (file name without .yaml).", show_default="all")
]
Out = Annotated[Optional[Path], typer.Option("--out", help="Output folder.", show_default="out, in the season")]  # noqa: UP045
Page = Annotated[str, typer.Option("--page", help="letter or a4.", show_default="letter in the US and Canada, else a4")]
Sheet = Annotated[
    str,
    typer.Option("--sheet", help="Sheet of slips: an id, such as a4-8-adhesive, or a file.", show_default="8 a page"),
]
StartAt = Annotated[int, typer.Option("--start-at", help="First free place of a part-used sheet.")]
Nudge = Annotated[
    str, typer.Option("--nudge", help="Move slips right,down in mm, steps of 0.5: 1,-0.5.", show_default="0,0")
]
Layout = Annotated[
    str,
    typer.Option("--layout", help="Slip layout: bottle, neck-tag, box, or a file.", show_default="bottle slips"),
]
Font = Annotated[
    list[Path],
    typer.Option("--font", help="A TrueType file for letters ours lacks; given again: its bold.", show_default=False),
]
Despite = Annotated[bool, typer.Option("--despite-errors", help="Print although errors stand; they are printed too.")]
Style = Annotated[str, typer.Option("--style", help="Style, by id, name or alias.", show_default="as declared")]
Base = Annotated[str, typer.Option("--base", help="Base style of a special beer.", show_default="as declared")]
Og = Annotated[str, typer.Option("--og", help="Original gravity: 1.052 or '12.9 °P'.", show_default=False)]
Fg = Annotated[str, typer.Option("--fg", help="Final gravity.", show_default=False)]
Abv = Annotated[str, typer.Option("--abv", help="Strength, % by volume.", show_default=False)]
Ibu = Annotated[str, typer.Option("--ibu", help="Bitterness.", show_default=False)]
Srm = Annotated[str, typer.Option("--srm", help="Colour: 12 or '24 EBC'.", show_default=False)]
Co2 = Annotated[str, typer.Option("--co2", help="Volumes of CO2.", show_default=False)]
RecipeName = Annotated[
    str, typer.Option("--recipe", help="Which recipe of a file that holds several.", show_default=False)
]
TraitOption = Annotated[
    list[str], typer.Option("--trait", help="Such as fermentation=lager; may be given again.", show_default=False)
]
AdditionOption = Annotated[
    list[str], typer.Option("--addition", help="Such as fruit, or none; may be given again.", show_default=False)
]
SheetFile = Annotated[
    Optional[Path],  # noqa: UP045
    typer.Argument(help="A CSV file, or - for stdin.", show_default=False),
]
Map = Annotated[
    list[str], typer.Option("--map", help="field=column, by name or number; may be given again.", show_default=False)
]
Encoding = Annotated[str, typer.Option("--encoding", help="Such as windows-1252.", show_default="found")]
ReceivingOut = Annotated[Optional[Path], typer.Option("--out", help="Write files to this folder.", show_default=False)]  # noqa: UP045
KeyFile = Annotated[
    Optional[Path],  # noqa: UP045
    typer.Option("--key", help="The key that joins numbers to people.", show_default=False),
]
ScaleOf = Annotated[str, typer.Option("--scale", help="fifty, hundred, twenty, or a YAML file of yours.")]
At = Annotated[str, typer.Option("--at", help="Time of the change: 2027-03-13T09:30.", show_default="now")]
Who = Annotated[str, typer.Option("--by", help="Who makes the change.", show_default=False)]
Why = Annotated[str, typer.Option("--why", help="Why, for the journal.", show_default=False)]
RegisterFolder = Annotated[Path, typer.Argument(help="The folder of the register.")]
Separator = Annotated[str, typer.Option("--separator", help="comma, semicolon or tab.", show_default="found")]


@guarded
def demo(
    folder: Annotated[Path, typer.Argument(help="Folder to write the demo season to.")] = Path("demo-season"),
    page: Page = "",
    json: Json = False,
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
    from entryprep.cli.add import Wanted, run

    run(what, words or [], Wanted(season, sheet, columns, recipe, ask, replace, json))


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
    show_vitals(file, given, json, units, recipe, explain, beerjson)


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
    show_fit(file, given, style, base, json, units, recipe)


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
    show_suggestions(file, given, trait, addition, competition, limit, json, units, recipe, ask)


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

    run(file, base, json, units, recipe)


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

    run(name, json, units)


@guarded
def check(season: SeasonFolder = Path(), competition: Only = "", today: Today = "", json: Json = False) -> None:
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
    run_prepare(season, competition, out, page, despite_errors, today, json, units, slips=slips)


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
    despite_errors: Despite = False,
    today: Today = "",
    json: Json = False,
) -> None:
    """Print the slips that go round the bottles, one per bottle.

    Example: entryprep labels my-season --sheet letter-8 --start-at 3
    """
    from entryprep.cli.season import run_prepare
    from entryprep.cli.slips import Slips, run_calibrate

    slips = Slips(sheet, start_at, nudge, layout, tuple(font))
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
    run_prepare(season, competition, out, page, despite_errors, today, json, units, parts=("packing",), slips=slips)


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
) -> None:
    """Print the shipping checklist for the way the bottles travel.

    Example: entryprep shipping my-season --way carrier
    """
    from entryprep.cli.season import run_prepare
    from entryprep.cli.slips import Slips

    slips = Slips(fonts=tuple(font))
    run_prepare(season, competition, out, page, despite_errors, today, json, parts=("shipping",), way=way, slips=slips)


@guarded
def intake(
    file: SheetFile = None,
    columns: Map = [],  # noqa: B006
    encoding: Encoding = "",
    separator: Separator = "",
    bottles: Annotated[int, typer.Option("--bottles", min=0, help="Bottles wanted of each entry.")] = 0,
    judged: Annotated[str, typer.Option("--judged", help="Day of the judging.", show_default="not known")] = "",
    out: ReceivingOut = None,
    seed: Annotated[str, typer.Option("--seed", help="Secret words blind numbers are drawn from.")] = "",
    rows: Annotated[int, typer.Option("--rows", min=0, help="How many entries to show.")] = 40,
    club: Annotated[str, typer.Option("--club", help="Whose form it is, if not the competition's own.")] = "",
    competition: CompetitionFile = None,
    at: At = "",
    by: Who = "",
    json: Json = False,
) -> None:
    """Check in a sheet of declarations: styles, vitals, what is missing, what to ask; draw blind numbers.

    Example: entryprep intake entries.csv --out table --seed "four words of yours"
    """
    from entryprep.cli.intake import run

    run(file, columns, encoding, separator, bottles, judged, out, seed, rows, club, competition, at, by, json)


@guarded
def checkin(
    folder: RegisterFolder,
    key: KeyFile = None,
    only: Annotated[str, typer.Option("--only", help="Only these entries, commas between.", show_default="all")] = "",
    bottles: Annotated[int, typer.Option("--bottles", min=1, max=24, help="Labels of each entry.")] = 2,
    sheet: Annotated[
        str, typer.Option("--sheet", help="Sheet of labels: an id, such as a4-24-adhesive, or a file.")
    ] = "",
    start_at: StartAt = 1,
    nudge: Nudge = "",
    page: Annotated[str, typer.Option("--page", help="letter or a4.")] = "a4",
    font: Font = [],  # noqa: B006
    json: Json = False,
) -> None:
    """Print labels with blind numbers for the bottles, and the list for whoever opens the boxes.

    Example: entryprep checkin table --bottles 2 --sheet a4-24-adhesive
    """
    from entryprep.cli.checkin import run
    from entryprep.cli.slips import Slips

    slips = Slips(sheet=sheet, start_at=start_at, nudge=nudge, fonts=tuple(font))
    run(folder, key, only, bottles, page, slips, json)


@guarded
def flights(
    file: SheetFile = None,
    columns: Map = [],  # noqa: B006
    encoding: Encoding = "",
    separator: Separator = "",
    least: Annotated[
        Optional[int],  # noqa: UP045
        typer.Option("--least", min=1, max=100, help="Least entries of a flight.", show_default="6"),
    ] = None,
    most: Annotated[
        Optional[int],  # noqa: UP045
        typer.Option("--most", min=1, max=100, help="Most entries of a flight.", show_default="10"),
    ] = None,
    judges: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option("--judges", help="A sheet of judges: judge, own, head, wishes.", show_default=False),
    ] = None,
    key: KeyFile = None,
    panel: Annotated[
        Optional[int],  # noqa: UP045
        typer.Option("--panel", min=1, max=20, help="Judges of a flight.", show_default="3"),
    ] = None,
    competition: CompetitionFile = None,
    sessions: Annotated[
        str,
        typer.Option("--sessions", help="'Sat 09:30-12:30, Sat 14:00-17:00, ...'", show_default="the competition's"),
    ] = "",
    beers: Annotated[
        Optional[int],  # noqa: UP045
        typer.Option("--beers-a-day", min=0, help="Beers a judge tastes in a day, 0: any.", show_default="35"),
    ] = None,
    scale: Annotated[
        str, typer.Option("--scale", help="fifty, hundred, twenty, or a YAML file of yours.", show_default="fifty")
    ] = "",
    page: Annotated[str, typer.Option("--page", help="letter or a4.", show_default="a4")] = "",
    out: ReceivingOut = None,
    despite_questions: Annotated[
        bool, typer.Option("--despite-questions", help="Print although the register has questions.")
    ] = False,
    at: At = "",
    by: Who = "",
    json: Json = False,
) -> None:
    """Put entries into flights, seat the judges, print pouring lists and tasting cards.

    FILE may be the folder of a register: --out with the same folder prints what is new or has changed.

    Example: entryprep flights --out table --judges judges.csv
    """
    from entryprep.cli.flights import run

    told = {"least": least, "most": most, "panel": panel, "beers": beers, "scale": scale or None, "page": page or None}
    day = (competition, sessions)
    run(file, columns, encoding, separator, told, judges, key, day, out, despite_questions, at, by, json)


@guarded
def results(
    file: SheetFile = None,
    columns: Map = [],  # noqa: B006
    encoding: Encoding = "",
    separator: Separator = "",
    also: Annotated[
        list[Path],
        typer.Option("--also", help="Another sheet of scores, typed by somebody else.", show_default=False),
    ] = [],  # noqa: B006
    entries: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option("--entries", help="The entries by number (judging.csv).", show_default=False),
    ] = None,
    flight_list: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option("--flights", help="The flights (flights.csv), with panels.csv beside it.", show_default=False),
    ] = None,
    key: KeyFile = None,
    competition: CompetitionFile = None,
    places: Annotated[
        list[Path],
        typer.Option("--places", help="Places of a round: mini-rounds.csv, best-of-show.csv.", show_default=False),
    ] = [],  # noqa: B006
    votes: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option("--votes", help="A sheet of votes for a prize: voter, entry.", show_default=False),
    ] = None,
    kept: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option("--register", help="The register that keeps the scores.", show_default=False),
    ] = None,
    at: At = "",
    by: Who = "",
    scale: Annotated[
        str, typer.Option("--scale", help="fifty, hundred, twenty, or a YAML file of yours.", show_default="fifty")
    ] = "",
    advance: Annotated[int, typer.Option("--advance", min=0, max=1000, help="How many of each flight advance.")] = 0,
    apart: Annotated[bool, typer.Option("--apart", help="A PDF for each entry instead of one for all.")] = False,
    page: Annotated[str, typer.Option("--page", help="letter or a4.")] = "a4",
    font: Font = [],  # noqa: B006
    out: ReceivingOut = None,
    json: Json = False,
) -> None:
    """Check and rank scores, give the prizes; print what goes back to the brewers.

    --out with the folder of a register keeps the scores there, sheet by sheet.

    Example: entryprep results scores.csv --entries judging.csv --flights flights.csv --out results
    """
    from entryprep.cli.results import run

    rounds = (competition, places, votes)
    args = (
        also,
        entries,
        flight_list,
        key,
        rounds,
        (kept, at, by),
        scale,
        advance,
        apart,
        page,
        tuple(font),
        out,
        json,
    )
    run(file, columns, encoding, separator, *args)


@guarded
def register(
    folder: RegisterFolder,
    journal: Annotated[bool, typer.Option("--journal", help="Also tell every change.")] = False,
    sheet: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option("--sheet", help="Read an edited entries.csv back: what differs is changed.", show_default=False),
    ] = None,
    at: At = "",
    by: Who = "",
    json: Json = False,
) -> None:
    """What stands in a register: entries, numbers, judges, what is printed, what is to be decided.

    Example: entryprep register table
    """
    from entryprep.cli.register import run

    run(folder, journal, sheet, at, by, json)


@guarded
def entry(
    folder: RegisterFolder,
    entry: Annotated[str, typer.Argument(help="Its entry number, its blind number, or its beer.")],
    what: Annotated[
        str,
        typer.Argument(
            help="withdrawn, absent, broken, arrived, reentered, moved, renumbered; or nothing, to see its history.",
            show_default=False,
        ),
    ] = "",
    style: Annotated[str, typer.Option("--style", help="With moved: the style it is to be.", show_default=False)] = "",
    category: Annotated[str, typer.Option("--category", help="With moved: the category.", show_default=False)] = "",
    base: Annotated[str, typer.Option("--base", help="With moved: the base style.", show_default=False)] = "",
    specials: Annotated[str, typer.Option("--specials", help="With moved: what judges are told.")] = "",
    number: Annotated[
        str, typer.Option("--number", help="With renumbered: the number of a spare label.", show_default="drawn")
    ] = "",
    blind: Annotated[bool, typer.Option("--blind", help="ENTRY is a blind number.")] = False,
    at: At = "",
    by: Who = "",
    why: Why = "",
    json: Json = False,
) -> None:
    """Change one entry: withdrawn, not arrived, broken, late, moved to another style, a new label.

    Example: entryprep entry table 17 withdrawn --why "asked by mail"
    """
    from entryprep.cli.register import run_entry

    to = {"style": style, "category": category, "base": base, "specials": specials}
    run_entry(folder, entry, what, to, number, blind, at, by, why, json)


@guarded
def judge(
    folder: RegisterFolder,
    name: Annotated[str, typer.Argument(help="The judge's name.")],
    what: Annotated[str, typer.Argument(help="gone, or arrived.")],
    after: Annotated[int, typer.Option("--after", min=0, help="With gone: the last flight judged.")] = 0,
    own: Annotated[str, typer.Option("--own", help="With arrived: the judge's own entries.", show_default=False)] = "",
    away: Annotated[str, typer.Option("--away", help="With arrived: what not to judge.", show_default=False)] = "",
    head: Annotated[bool, typer.Option("--head", help="With arrived: may lead a flight.")] = False,
    wishes: Annotated[
        str, typer.Option("--wishes", help="With arrived: in the judge's words.", show_default=False)
    ] = "",
    at: At = "",
    by: Who = "",
    why: Why = "",
    json: Json = False,
) -> None:
    """A judge has left, or has arrived.

    Example: entryprep judge table "Osei Tarn" gone --after 2
    """
    from entryprep.cli.register import run_judge

    texts = {"own": own, "away": away, "head": "yes" if head else "", "wishes": wishes}
    run_judge(folder, name, what, after, texts, at, by, why, json)


@guarded
def decide(
    folder: RegisterFolder,
    question: Annotated[int, typer.Argument(min=1, help="The number of the question.")],
    answer: Annotated[str, typer.Argument(help="One of the answers it offers.")],
    at: At = "",
    by: Who = "",
    why: Why = "",
    json: Json = False,
) -> None:
    """Decide what the register asks: one entry or two, withdrawn or not, whose word counts.

    Example: entryprep decide table 3 apart
    """
    from entryprep.cli.register import run_decide

    run_decide(folder, question, answer, at, by, why, json)


@guarded
def schema(
    record: Annotated[str, typer.Argument(help="brewer, batch, competition, entries, styles, sheet or slip.")],
) -> None:
    """Print the JSON Schema of a record, for an editor to complete and check it.

    Example: entryprep schema batch > batch.schema.json
    """
    from entryprep.cli.schema import run

    run(record)


SvgFile = Annotated[
    Optional[Path],  # noqa: UP045
    typer.Option("--picture", help="Also draw it into this SVG file.", show_default=False),
]


@guarded
def chart(season: SeasonFolder = Path(), picture: SvgFile = None, json: Json = False) -> None:
    """All beers against all categories of all competitions: fit, share, what is missing.

    Example: entryprep chart my-season --picture beers.svg
    """
    from entryprep.cli.chart import run

    run(season, picture, json)


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

    run(file, names or [], competition, recipe, json, units)


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


def _told_version(wanted: bool) -> None:
    if wanted:
        from entryprep import __version__

        typer.echo(f"entryprep {__version__}")
        raise typer.Exit


def root(
    version: Annotated[
        bool, typer.Option("--version", help="Show the version and exit.", callback=_told_version, is_eager=True)
    ] = False,
) -> None:
    """Options of the whole."""


COMMANDS = (
    demo,
    start,
    add,
    vitals,
    fit,
    suggest,
    base,
    styles,
    check,
    prepare,
    chart,
    compare,
    plan,
    calendar,
    labels,
    packing,
    shipping,
    intake,
    checkin,
    flights,
    results,
    register,
    entry,
    judge,
    decide,
    schema,
)
app = typer.Typer(
    name="entryprep",
    cls=shelf(COMMANDS),
    callback=root,
    no_args_is_help=True,
    help="Prepare beers for judged competitions: which category, does it fit, what to declare, print, pack and check.",
    **SETTINGS,
)
