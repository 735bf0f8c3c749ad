"""The command line: the only place that prints, asks or exits."""

from __future__ import annotations

import gc
import os

COLLECT_AFTER = 200_000  # objects: reading the style table makes many and drops none


def main() -> None:
    """Run the command line."""
    gc.set_threshold(COLLECT_AFTER, 50, 50)
    # no third party's plugin may change how records are checked, and looking for one takes longer than checking
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    from entryprep.cli.app import app

    app()
