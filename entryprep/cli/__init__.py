"""The command line: the only place that prints, asks or exits."""

from __future__ import annotations


def main() -> None:
    """Run the command line."""
    from entryprep.cli.app import app

    app()
