"""The commands put together, with the options of the whole.

Annotations are not postponed, here and where the commands stand: typer evaluates every one, and compiling them from
text takes a tenth of `--help`.
"""

from typing import Annotated

import typer

from entryprep.cli.commands_beers import base, compare, fit, styles, suggest, vitals
from entryprep.cli.commands_season import (
    add,
    calendar,
    chart,
    check,
    demo,
    labels,
    packing,
    plan,
    prepare,
    schema,
    shipping,
    start,
)
from entryprep.cli.commands_steward import checkin, decide, entry, flights, intake, judge, register, results
from entryprep.cli.shelf import SETTINGS, shelf


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
    **{**SETTINGS, "add_completion": True},
)
