"""Commands of those who open the boxes.

Each body is loaded only when its command runs. Annotations are not postponed here: typer evaluates every one, and
compiling them from text takes a tenth of `--help`.
"""

from pathlib import Path
from typing import Annotated, Optional

import typer

from entryprep.cli.boundary import guarded
from entryprep.cli.options import (
    At,
    CompetitionFile,
    Encoding,
    Font,
    Json,
    KeyFile,
    Map,
    Nudge,
    ReceivingOut,
    RegisterFolder,
    Separator,
    SheetFile,
    StartAt,
    Units,
    Who,
    Why,
)


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
    units: Units = "metric",
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
    bottles: Annotated[
        int,
        typer.Option("--bottles", min=0, max=24, help="Labels of each entry.", show_default="the competition's, or 2"),
    ] = 0,
    sheet: Annotated[
        str, typer.Option("--sheet", help="Sheet of labels: an id, such as a4-24-adhesive, or a file.")
    ] = "",
    start_at: StartAt = 1,
    nudge: Nudge = "",
    page: Annotated[str, typer.Option("--page", help="letter or a4.")] = "a4",
    font: Font = [],  # noqa: B006
    json: Json = False,
    units: Units = "metric",
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
    font: Font = [],  # noqa: B006
    out: ReceivingOut = None,
    despite_questions: Annotated[
        bool, typer.Option("--despite-questions", help="Print although the register has questions.")
    ] = False,
    at: At = "",
    by: Who = "",
    json: Json = False,
    units: Units = "metric",
) -> None:
    """Put entries into flights, seat the judges, print pouring lists and tasting cards.

    FILE may be the folder of a register: --out with the same folder prints what is new or has changed.

    Example: entryprep flights --out table --judges judges.csv
    """
    from entryprep.cli.flights import run
    from entryprep.cli.slips import printing

    told = {"least": least, "most": most, "panel": panel, "beers": beers, "scale": scale or None, "page": page or None}
    day = (competition, sessions)
    with printing(tuple(font)):
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
    units: Units = "metric",
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
    competition: CompetitionFile = None,
    at: At = "",
    by: Who = "",
    json: Json = False,
) -> None:
    """What stands in a register: entries, numbers, judges, what is printed, what is to be decided.

    Example: entryprep register table
    """
    from entryprep.cli.register import run

    run(folder, journal, sheet, competition, at, by, json)


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
