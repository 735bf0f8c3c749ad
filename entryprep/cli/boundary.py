"""The one place where an exception becomes a message and an exit code.

0 fine, 1 findings of severity error, 2 unusable input or usage, 3 a fault of ours, 130 interrupted.
"""

from __future__ import annotations

import functools
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import ParamSpec, TypeVar

from entryprep.errors import EntryprepError

P = ParamSpec("P")
R = TypeVar("R")

FINE, FINDINGS, UNUSABLE, FAULT, INTERRUPTED = 0, 1, 2, 3, 130


class UsageProblem(EntryprepError):
    """Options that do not go together; ``fix`` says which to give."""


def guarded(command: Callable[P, R]) -> Callable[P, R]:
    """Wrap a command: what it raises is told in one clear message on stderr, with the exit code that belongs to it."""

    @functools.wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return command(*args, **kwargs)
        except KeyboardInterrupt:
            print("Interrupted.", file=sys.stderr)
            raise SystemExit(INTERRUPTED) from None
        except BrokenPipeError:
            # the reader (such as `head`) has gone: nothing more can be said to it
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            raise SystemExit(FINE) from None
        except Exception as error:
            raise SystemExit(told(error)) from None

    return run


def told(error: Exception) -> int:
    """Tell an exception on stderr and return its exit code; exits and usage errors of the framework pass through."""
    from entryprep.cli.show import say_finding

    if type(error).__module__.partition(".")[0] in {"typer", "click"}:
        raise error
    if isinstance(error, EntryprepError):
        findings = getattr(error, "findings", None)
        for finding in findings or ():
            say_finding(finding, sys.stderr)
        if findings is None:
            print(f"error: {error}" + (f"\n  fix: {error.fix}" if error.fix else ""), file=sys.stderr)
        return UNUSABLE
    if os.environ.get("ENTRYPREP_TRACEBACK"):
        import traceback

        traceback.print_exception(error)
    print(_fault(error), file=sys.stderr)
    return FAULT


def _fault(error: Exception) -> str:
    from entryprep import __version__

    spot = error.__traceback__
    while spot is not None and spot.tb_next is not None:
        spot = spot.tb_next
    where = f"{Path(spot.tb_frame.f_code.co_filename).name}:{spot.tb_lineno}" if spot else "?"
    return (
        f"This is a fault of entryprep, not of yours: {type(error).__name__} at {where}: {error}\n"
        f"Nothing of yours was changed. Please report it with this line, entryprep {__version__}, Python "
        f"{sys.version.split()[0]},\nand the record that caused it; ENTRYPREP_TRACEBACK=1 shows more."
    )
