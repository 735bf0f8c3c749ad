"""The text a judge reads, put together from the records and shortened by rule, never in the middle of a word.

Base style first; then what was added, the most perceivable first, with its level; then what the style wants said
besides (strength, colour, carbonation, sweetness, culture). No name of brewer, brewery, beer or place goes in, for none
of these is read here; allergens stand apart on the slip.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from entryprep.beer.dosing import Verdict, Word, verdicts
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
    answers: frozenset[str] = frozenset()  # items that the style wants and this addition answers

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
    addition. Shortened in this order: words in brackets, levels, labels, then the least perceivable additions, as long
    as another still answers what the style wants. What it wants is never left out, so the text may stay too long.
    """
    specials = [_special(v, wanted) for v in verdicts(batch)]
    specials = [piece for v, piece in zip(verdicts(batch), specials, strict=True) if _is_said(v, piece)]
    specials.sort(key=lambda piece: piece.rank)
    said = {piece.text for piece in specials}
    rest = [Piece(answer, label=_label(item)) for item, answer in wanted if not _made_of(answer, said)]
    first = [Piece(f"{base} base")] if base else []
    pieces = [*first, *specials, *rest]
    for shorten in (_same, _without_brackets, _without_levels, _without_labels):
        pieces = [shorten(piece) for piece in pieces]
        if len(_joined(pieces)) <= limit:
            return Composed(_joined(pieces))
    left_out: list[str] = []
    for piece in reversed(pieces[len(first) : len(first) + len(specials)]):
        others = {item for other in pieces if other is not piece for item in other.answers}
        if not piece.answers <= others:
            continue
        pieces.remove(piece)
        left_out.append(piece.text)
        if len(_joined(pieces)) <= limit:
            break
    return Composed(_joined(pieces), tuple(left_out))


def _is_said(verdict: Verdict, piece: Piece) -> bool:
    """What can be tasted, and what the style wants named although it hardly can; never plain brewing sugar."""
    return verdict.counts or (bool(piece.answers) and verdict.addition.perceived != "not at all")


def _special(verdict: Verdict, wanted: Sequence[tuple[str, str]]) -> Piece:
    what = verdict.addition.what
    answers = frozenset(item for item, answer in wanted if f", {what}, " in f", {answer}, ")
    return Piece(what, LEVELS.get(verdict.word, ""), rank=ORDER.index(verdict.word), answers=answers)


def _made_of(answer: str, names: set[str]) -> bool:
    """Whether an answer is nothing but a list of these names."""
    left = f", {answer}, "
    for name in sorted(names, key=len, reverse=True):
        left = left.replace(f", {name}, ", ", ")
    return not left.strip(", ")


def _label(item: str) -> str:
    return "" if item in {"base", "description"} else item.replace("-", " ")


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
