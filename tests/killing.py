"""Runs that are killed: a forked process that ends, as by SIGKILL, just before the n-th thing it does to the disk."""

from __future__ import annotations

import os
import sys
import traceback
from collections.abc import Callable
from typing import Any

# names of audit events (Python's documented audit events table) that come before a change of the disk
CHANGES = {"os.rename", "os.mkdir", "os.rmdir", "os.remove", "os.chmod", "os.link", "os.truncate", "shutil.rmtree"}
KILLED = 137


def run_killed(work: Callable[[], object], at: int) -> int:
    """Run ``work`` in a forked process that is killed before its change number ``at`` (from 1), or at its end.

    Returns KILLED where it was killed, 0 where it came to its end first, 1 where it raised.
    """
    child = os.fork()
    if child:
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    left = at
    fsync = os.fsync

    def change(event: str, args: tuple[object, ...]) -> None:
        nonlocal left
        written = event == "open" and isinstance(args[2], int) and args[2] & (os.O_WRONLY | os.O_RDWR | os.O_CREAT)
        if written or event in CHANGES:
            left -= 1
            if not left:
                os._exit(KILLED)

    def settle(handle: Any) -> None:
        change("os.chmod", ())
        fsync(handle)

    os.fsync = settle  # type: ignore[assignment]  # writing itself tells no audit hook; this comes after each file's
    sys.addaudithook(change)
    try:
        work()
    except BaseException:
        traceback.print_exc()
        os._exit(1)
    os._exit(0)
