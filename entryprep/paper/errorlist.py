"""The errors that labels were printed in spite of, on a paper of their own: they have no place on a sheet of labels."""

from __future__ import annotations

from collections.abc import Sequence

from entryprep.paper.flowables import heading, words
from entryprep.paper.layout import document, error_block


def errors_pdf(errors: Sequence[str], competition: str, page: str) -> bytes:
    """The errors of the papers of one competition, on "letter" or "a4"."""
    title = f"Errors that stand: {competition}"
    say = "For the brewer alone: it may name whose beers these are. Mend them, and print the labels again."
    story = [heading(title), words(say, 10, after=6), *error_block(errors, page)]
    return document(story, page, title, f"entryprep, errors, {competition}")
