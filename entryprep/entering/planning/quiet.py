"""HiGHS without a word on the standard output: one thread, the same answer on every run."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import highspy


def solver() -> Any:
    """A solver for linear programmes that go from one to the next; its presolve is off, so that each starts warm."""
    with _silenced():
        highs: Any = highspy.Highs()  # type: ignore[no-untyped-call]
    for name, value in (
        ("output_flag", False),
        ("log_to_console", False),
        ("threads", 1),
        ("random_seed", 0),
        ("presolve", "off"),
        ("mip_rel_gap", 0.0),
        ("mip_allow_restart", False),  # of programmes of this kind it costs more than it brings
    ):
        highs.setOptionValue(name, value)
    return highs


@contextmanager
def _silenced() -> Iterator[None]:
    """Nothing goes to the process's standard output: the library greets there when it is made, whatever its options."""
    sys.stdout.flush()
    try:
        kept = os.dup(1)
    except OSError:  # there is no standard output to greet on
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)
