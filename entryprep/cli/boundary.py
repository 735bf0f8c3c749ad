"""The one place where an exception becomes a message and an exit code.

0 fine, 1 findings of severity error, 2 unusable input or usage, 3 a fault of ours, 130 interrupted.
"""

from __future__ import annotations

import errno
import functools
import io
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import ParamSpec, TypeVar

from entryprep.errors import EntryprepError

P = ParamSpec("P")
R = TypeVar("R")

NAME = "entryprep"  # in usage and completion, however it was started
FINE, FINDINGS, UNUSABLE, FAULT, INTERRUPTED = 0, 1, 2, 3, 130


class UsageProblem(EntryprepError):
    """Options that do not go together; ``fix`` says which to give."""


def guarded(command: Callable[P, R]) -> Callable[P, R]:
    """Wrap a command: what it raises is told in one clear message on stderr, with the exit code that belongs to it.

    It speaks in the units that its option ``units`` names, metric where it has none.
    """

    @functools.wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            _speak(str(kwargs.get("units", "metric")))
            return command(*args, **kwargs)
        except KeyboardInterrupt:
            say("Interrupted.")
            raise SystemExit(INTERRUPTED) from None
        except BrokenPipeError:
            # the reader (such as `head`) has gone: nothing more can be said to it
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            raise SystemExit(FINE) from None
        except Exception as error:
            raise SystemExit(told(error)) from None

    return run


def _speak(units: str) -> None:
    from entryprep.measures import METRIC, US, speak  # `--help` speaks of no quantity

    if units not in {METRIC, US}:
        raise UsageProblem(f"--units {units} is not known", "use metric or us")
    speak(units)


def outcome(app: Callable[..., object]) -> int:
    """Run the framework's ``app``, and the exit code that comes of it; wrong usage is told as the framework words it,
    without what steers a terminal."""
    try:
        code = app(standalone_mode=False, prog_name=NAME)
    except SystemExit as stop:
        code = stop.code
    except KeyboardInterrupt:
        say("Interrupted.")
        return INTERRUPTED
    except Exception as error:
        show = getattr(error, "show", None)
        if not _is_the_frameworks(error):
            return told(error)
        if show is None:  # a question was answered with Ctrl-C or Ctrl-D
            say("Interrupted.")
            return INTERRUPTED
        worded = io.StringIO()
        show(worded)
        say(worded.getvalue().rstrip("\n"))
        return int(getattr(error, "exit_code", UNUSABLE))
    return code if isinstance(code, int) else FINE if code is None else UNUSABLE


def said(code: int) -> int:
    """The exit code once all words are out: a reader who has gone changes nothing, a device that refuses is told."""
    from entryprep.cli.streams import failure_of

    failure = failure_of(sys.stdout)
    if failure is None or failure.errno in {errno.EPIPE, errno.EBADF}:
        return code
    say(
        f"error: what there was to say could not be written: {failure.strerror or failure}\n"
        "  fix: files that were to be written are complete; send the words elsewhere to read them"
    )
    failure_of(sys.stderr)
    return code or UNUSABLE


def say(words: str) -> None:
    """Words on stderr, without what steers a terminal."""
    from entryprep.cli.show import clean

    print(clean(words), file=sys.stderr)


def _is_the_frameworks(error: Exception) -> bool:
    return type(error).__module__.partition(".")[0] in {"typer", "click"}


def told(error: Exception) -> int:
    """Tell an exception on stderr and return its exit code; exits and usage errors of the framework pass through."""
    from entryprep.cli.show import say_finding

    if _is_the_frameworks(error):
        raise error
    if isinstance(error, EntryprepError):
        findings = getattr(error, "findings", None)
        for finding in findings or ():
            say_finding(finding, sys.stderr)
        if findings is None:
            where = f"{error.where}: " if error.where else ""
            say(f"error: {where}{error}" + (f"\n  fix: {error.fix}" if error.fix else ""))
        return UNUSABLE
    if isinstance(error, OSError) and error.strerror:
        where = f"{os.fsdecode(error.filename)}: " if isinstance(error.filename, (str, bytes)) else ""
        say(f"error: {where}{error.strerror}\n  fix: check what is named, your permission, and the room")
        return UNUSABLE
    if os.environ.get("ENTRYPREP_TRACEBACK"):
        import traceback

        traceback.print_exception(error)
    say(_fault(error))
    return FAULT


def _fault(error: Exception) -> str:
    from entryprep import __version__

    spot = error.__traceback__
    while spot is not None and spot.tb_next is not None:
        spot = spot.tb_next
    where = f"{Path(spot.tb_frame.f_code.co_filename).name}:{spot.tb_lineno}" if spot else "?"
    return (
        f"This is a fault of entryprep, not of yours: {type(error).__name__} at {where}: {error}\n"
        f"Please report it with this line, entryprep {__version__}, Python "
        f"{sys.version.split()[0]},\nand the record that caused it; ENTRYPREP_TRACEBACK=1 shows more."
    )
