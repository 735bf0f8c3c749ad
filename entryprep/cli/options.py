"""Options that several commands take, each declared once, and read and refused in one way.

Annotations are not postponed here: typer evaluates every one, and compiling them from text takes a tenth of `--help`.
"""

import datetime as dt
from pathlib import Path
from typing import Annotated, Optional

import typer

from entryprep.cli.boundary import UsageProblem
from entryprep.text import no_date

Json = Annotated[bool, typer.Option("--json", help="Print one JSON object and nothing else.")]
Units = Annotated[str, typer.Option("--units", help="metric or us, for temperatures, masses, volumes and pressures.")]
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
SvgFile = Annotated[
    Optional[Path],  # noqa: UP045
    typer.Option("--picture", help="Also draw it into this SVG file.", show_default=False),
]


def day_option(name: str, text: str) -> dt.date | None:
    """A day, or None where none is given. Raises UsageProblem, in the option's name, for what is no date."""
    try:
        return dt.date.fromisoformat(text) if text else None
    except ValueError:
        raise UsageProblem(f"{name} {no_date(text)}", "write year-month-day, such as 2027-03-14") from None


def the_day(today: str) -> dt.date:
    """The day dates are judged by: that of ``--today``, else the day it is."""
    return day_option("--today", today) or dt.date.today()
