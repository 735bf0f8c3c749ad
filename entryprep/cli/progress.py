"""A progress bar on stderr for work that takes more than a moment; silent where nobody watches."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

Step = Callable[[str, int, int], None]


@contextmanager
def working(title: str) -> Iterator[Step]:
    """Yield ``step(what, done, of)``; on a terminal it moves a bar that is gone when the work is done."""
    if not sys.stderr.isatty():
        yield lambda _what, _done, _of: None
        return
    from rich.progress import BarColumn, Progress, TextColumn

    from entryprep.cli.screen import terminal

    columns = (TextColumn("{task.description}"), BarColumn())
    with Progress(*columns, console=terminal(sys.stderr), transient=True) as progress:
        task = progress.add_task(title, total=None)
        yield lambda what, done, of: progress.update(task, description=what, completed=done, total=of)
