"""The text a judge reads, put together from the records and shortened by rule, never in the middle of a word.

Base style first; then what was added, the most perceivable first, with its level; then what the style wants said
besides (strength, colour, carbonation, sweetness, culture). No name of brewer, brewery, beer or place goes in, for none
of these is read here; allergens stand apart on the slip.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from entryprep.matching.dosing import Verdict, Word, verdicts
from entryprep.records.batch import Batch

# how strongly something is perceived, from the most to the least, and the word that is put beside it
ORDER: tuple[Word, ...] = ("dominant", "usual", "unknown", "faint")
LEVELS: dict[Word, str] = {"dominant": "leading", "faint": "subtle"}
_BRACKETS = re.compile(r"\s*\([^)]*\)")


@dataclass(frozen=True)
class Piece:
    """One part of the text: the thing, the word for its level or its label, and how far back it stands."""

    text: str
    level: str = ""
    label: str = ""
    rank: int = 0

    def written(self) -> str:
        """``strength: session``, ``black currants, leading``."""
        labelled = f"{self.label}: {self.text}" if self.label else self.text
        return f"{labelled}, {self.level}" if self.level else labelled


@dataclass(frozen=True)
class Composed:
    """The text, and what had to be left out of it to keep it within the limit."""

    text: str
    left_out: tuple[str, ...] = ()


def compose(batch: Batch, base: str, wanted: Sequence[tuple[str, str]], limit: int) -> Composed:
    """Put the text together, at most ``limit`` characters if the rules of shortening reach that.

    ``wanted`` are the items the style wants declared with their answers; what an addition answers is said by the
    addition. Shortened in this order: words in brackets, levels, labels, then the least perceivable additions. What the
    style wants is never left out, so the text may stay too long.
    """
    named = {name for _, answer in wanted for name in answer.split(", ")}
    specials = [_special(v) for v in verdicts(batch) if _is_said(v, named)]
    specials.sort(key=lambda piece: piece.rank)
    said = {piece.text for piece in specials}
    rest = [Piece(answer, label=_label(item)) for item, answer in wanted if not _parts(answer) <= said]
    first = [Piece(f"{base} base")] if base else []
    pieces = [*first, *specials, *rest]
    for shorten in (_same, _without_brackets, _without_levels, _without_labels):
        pieces = [shorten(piece) for piece in pieces]
        if len(_joined(pieces)) <= limit:
            return Composed(_joined(pieces))
    left_out: list[str] = []
    optional = [p for p in pieces[len(first) : len(first) + len(specials)] if p.text not in named]
    for piece in reversed(optional):
        pieces.remove(piece)
        left_out.append(piece.text)
        if len(_joined(pieces)) <= limit:
            break
    return Composed(_joined(pieces), tuple(left_out))


def _is_said(verdict: Verdict, named: set[str]) -> bool:
    """What can be tasted, and what the style wants named although it hardly can; never plain brewing sugar."""
    return verdict.counts or (verdict.addition.what in named and verdict.addition.perceived != "not at all")


def _special(verdict: Verdict) -> Piece:
    return Piece(verdict.addition.what, LEVELS.get(verdict.word, ""), rank=ORDER.index(verdict.word))


def _label(item: str) -> str:
    return "" if item in {"base", "description"} else item.replace("-", " ")


def _parts(answer: str) -> set[str]:
    return {part.strip() for part in answer.split(",")}


def _same(piece: Piece) -> Piece:
    return piece


def _without_brackets(piece: Piece) -> Piece:
    return replace(piece, text=_BRACKETS.sub("", piece.text).strip() or piece.text)


def _without_levels(piece: Piece) -> Piece:
    return replace(piece, level="")


def _without_labels(piece: Piece) -> Piece:
    return replace(piece, label="")


def _joined(pieces: Sequence[Piece]) -> str:
    return "; ".join(dict.fromkeys(piece.written() for piece in pieces))
