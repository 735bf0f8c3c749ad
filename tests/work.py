"""How much work a call does, counted rather than timed: the lines of our own code that it runs."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any

import entryprep

_OURS = str(Path(entryprep.__file__).parent)


def lines_run(call: Callable[[], object]) -> int:
    """Lines of the package that a call runs: the same for the same work, however busy the machine is."""
    count = 0

    def line(_frame: FrameType, event: str, _arg: Any) -> Any:
        nonlocal count
        count += event == "line"
        return line

    def entered(frame: FrameType, _event: str, _arg: Any) -> Any:
        return line if frame.f_code.co_filename.startswith(_OURS) else None

    before = sys.gettrace()
    sys.settrace(entered)
    try:
        call()
    finally:
        sys.settrace(before)
    return count
