"""Commands on a shelf: until one is run it is a name and its help, and what needs no checking is not checked.

Reading the options off every function, and building a validator for each value, takes longer than ranking a beer.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, get_args, get_origin

import typer
from typer.core import TyperCommand, TyperGroup

SETTINGS: dict[str, Any] = {
    "add_completion": False,
    "pretty_exceptions_enable": False,
    "rich_markup_mode": None,
    "context_settings": {"help_option_names": ["-h", "--help"]},
}


def shelf(commands: Iterable[Callable[..., Any]]) -> type[TyperGroup]:
    """The class of a group of these functions, each a command by its own name."""
    shelved = {command.__name__: Shelved(command) for command in commands}

    class Shelf(TyperGroup):
        """The commands by name; each reads its options when it runs."""

        def __init__(self, **settings: Any) -> None:
            super().__init__(**{**settings, "commands": dict(shelved)})

        def get_params(self, ctx: Any) -> list[Any]:
            """The group's own parameters: only help."""
            return _passing(super().get_params(ctx))

    return Shelf


class Shelved(TyperCommand):
    """A command by its name and help; its options are read off its function when it is run or asked for help."""

    def __init__(self, function: Callable[..., Any]) -> None:
        super().__init__(name=function.__name__, help=inspect.cleandoc(function.__doc__ or ""))
        self.function = function

    def make_context(self, info_name: str | None, args: list[str], parent: Any = None, **extra: Any) -> Any:
        """The context of the whole command, which then does all the rest."""
        alone = typer.Typer(**SETTINGS)
        alone.command(cls=Quick)(self.function)
        return typer.main.get_command(alone).make_context(info_name, args, parent, **extra)


class Quick(TyperCommand):
    """A command whose texts, paths and defaults are taken as they are: what they mean is checked by who reads them."""

    def get_params(self, ctx: Any) -> list[Any]:
        """The parameters, with values that need no validator passed by it."""
        return _passing(super().get_params(ctx))


def _passing(parameters: list[Any]) -> list[Any]:
    """Parameters that let plain values pass; only versions of the library that tell the type build validators."""
    for parameter in parameters:
        if hasattr(parameter, "type_descriptor") and "process_value" not in vars(parameter):
            parameter.process_value = _process(parameter)
    return parameters


def _process(parameter: Any) -> Callable[[Any, Any], Any]:
    usual, wanted = parameter.process_value, parameter.type_descriptor.annotation

    def processed(ctx: Any, value: Any) -> Any:
        plain, found = (True, value) if value is parameter.default else _plain(wanted, value)
        if not plain or (found is None and parameter.required):
            return usual(ctx, value)
        return found if parameter.callback is None else parameter.callback(ctx, parameter, found)

    return processed


def _plain(wanted: Any, value: Any) -> tuple[bool, Any]:
    """Whether a value is what is wanted as it stands, or as a path; and that value."""
    if value is None:
        return True, None
    if get_origin(wanted) is list and isinstance(value, (list, tuple)):
        each = [_plain(get_args(wanted)[0], item) for item in value]
        return all(plain for plain, _ in each), [item for _, item in each]
    if wanted is Path and isinstance(value, (str, Path)):
        return True, Path(value)
    return wanted is str and isinstance(value, str), value
