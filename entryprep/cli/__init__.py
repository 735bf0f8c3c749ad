"""The command line: the only place that prints, asks or exits."""

from __future__ import annotations

import gc
import os
import signal
import sys
from contextlib import suppress
from types import FrameType

COLLECT_AFTER = 200_000  # objects: reading the style table makes many and drops none
INTERRUPTED = 130


def main() -> None:
    """Run the command line."""
    ours = signal.getsignal(signal.SIGINT) is signal.default_int_handler
    _on_interrupt(ours, _stop)  # while modules load, an exception would end in a traceback
    gc.set_threshold(COLLECT_AFTER, 50, 50)
    # no third party's plugin may change how records are checked, and looking for one takes longer than checking
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    from entryprep.cli.streams import fill_closed, steady

    fill_closed()
    sys.stdout, sys.stderr = steady(sys.stdout), steady(sys.stderr)
    from entryprep.cli.app import app
    from entryprep.cli.boundary import outcome, said

    _on_interrupt(ours, signal.default_int_handler)
    code = outcome(app)
    _on_interrupt(ours, lambda _number, _frame: os._exit(code))  # all is done but the leaving
    sys.exit(said(code))


def _on_interrupt(ours: bool, handler: signal._HANDLER) -> None:
    """Handle Ctrl-C so, unless the shell or our caller has it handled otherwise."""
    if ours:
        with suppress(ValueError):  # not the main thread
            signal.signal(signal.SIGINT, handler)


def _stop(_number: int, _frame: FrameType | None) -> None:
    with suppress(OSError):
        os.write(2, b"Interrupted.\n")
    os._exit(INTERRUPTED)
