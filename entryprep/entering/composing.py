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
from entryprep.beer.routing import thing_of
from entryprep.records.batch import Batch
from entryprep.tables.style import Style
from entryprep.text import fold

# how strongly something is perceived, from the most to the least, and the word that is put beside it
ORDER: tuple[Word, ...] = ("dominant", "usual", "unknown", "faint")
LEVELS: dict[Word, str] = {"dominant": "leading", "faint": "subtle"}
# Words that tell a judge nothing, and the forms that things come in: the thing itself says what is to be tasted.
_FILLERS = """fresh whole real organic natural local locally grown homegrown picked handpicked finest best premium own
some little a an the of from with added pure ripe hint touch dash pinch frozen using"""
_FORMS = """puree purees pulp pod pods bean beans nib nibs flake flakes flower flowers petals cube cubes chip chips
stave staves spiral spirals powder powdered dried extract concentrate malt"""
FILLERS, FORMS = frozenset(_FILLERS.split()), frozenset(_FORMS.split())
SHORT = {"brettanomyces": "Brett", "lactobacillus": "Lacto", "pediococcus": "Pedio", "saccharomyces": "Sacch"}
_BRACKETS = re.compile(r"\s*\([^)]*\)")


@dataclass(frozen=True)
class Piece:
    """One part of the text: the thing, the word for its level or its label, and how far back it stands."""

    text: str
    level: str = ""
    label: str = ""
    rank: int = 0
    answers: frozenset[str] = frozenset()  # items that the style wants and this addition answers
    what: str = ""  # the addition in the brewer's own words, by which it is told when it is left out

    def written(self) -> str:
        """``strength: session``, ``black currants, leading``."""
        labelled = f"{self.label}: {self.text}" if self.label else self.text
        return f"{labelled}, {self.level}" if self.level else labelled


@dataclass(frozen=True)
class Composed:
    """The text, and what had to be left out of it to keep it within the limit."""

    text: str
    left_out: tuple[str, ...] = ()


def compose(
    batch: Batch,
    base: str,
    wanted: Sequence[tuple[str, str]],
    limit: int,
    own: Sequence[Style] = (),
    short_base: str = "",
) -> Composed:
    """Put the text together, at most ``limit`` characters if the rules of shortening reach that.

    ``wanted`` are the items the style wants declared with their answers; what an addition answers is said by the
    addition. What one of the styles ``own`` lives by is not said, for nobody would think it away. Shortened in this
    order: words in brackets, words that say nothing, levels, the forms things came in, labels, the word base, the base
    by its initials (``short_base``), then the least perceivable additions, as long as another still answers what the
    style wants. What it wants is never left out, so the text may stay too long.
    """
    specials = [_special(v, wanted) for v in verdicts(batch)]
    told = zip(verdicts(batch), specials, strict=True)
    specials = [piece for v, piece in told if _is_said(v, piece) and not _is_obvious(v, piece, own)]
    specials.sort(key=lambda piece: piece.rank)
    said = {piece.text for piece in specials}
    rest = [Piece(answer, label=_label(item)) for item, answer in wanted if not _made_of(answer, said)]
    named = any(fold(base) in fold(piece.text) for piece in rest)
    heads = [f"{base} base", f"{base}:", *([f"{short_base}:"] if short_base else [])] if base and not named else [""]
    pieces = [*specials, *rest]
    for shorten in (_same, _without_brackets, _without_fillers, _without_levels, _without_forms, _without_labels):
        pieces = [shorten(piece) for piece in pieces]
        if len(_text(heads[0], pieces)) <= limit:
            return Composed(_text(heads[0], pieces))
    head = next((each for each in heads if len(_text(each, pieces)) <= limit), heads[-1])
    left_out: list[str] = []
    for piece in reversed(pieces[: len(specials)]):
        if len(_text(head, pieces)) <= limit:
            break
        others = {item for other in pieces if other is not piece for item in other.answers}
        if not piece.answers <= others:
            continue
        pieces.remove(piece)
        left_out.append(piece.what)
    return Composed(_text(head, pieces), tuple(left_out))


def _is_said(verdict: Verdict, piece: Piece) -> bool:
    """What can be tasted, and what the style wants named although it hardly can; never plain brewing sugar."""
    return verdict.counts or (bool(piece.answers) and verdict.addition.perceived != "not at all")


def _is_obvious(verdict: Verdict, piece: Piece, own: Sequence[Style]) -> bool:
    """What a style lives by, unless its own name or a rule wants it named."""
    return not piece.answers and any(style.lives_by(thing_of(verdict)) for style in own)


def _special(verdict: Verdict, wanted: Sequence[tuple[str, str]]) -> Piece:
    what = verdict.addition.what
    answers = frozenset(item for item, answer in wanted if f", {what}, " in f", {answer}, ")
    return Piece(what, LEVELS.get(verdict.word, ""), rank=ORDER.index(verdict.word), answers=answers, what=what)


def _made_of(answer: str, names: set[str]) -> bool:
    """Whether an answer is nothing but a list of these names."""
    left = f", {answer}, "
    for name in sorted(names, key=len, reverse=True):
        left = left.replace(f", {name}, ", ", ")
    return not left.strip(", ")


def _label(item: str) -> str:
    return "" if item in {"base", "description", "mixed-styles"} else item.replace("-", " ")


def _same(piece: Piece) -> Piece:
    return piece


def _without_brackets(piece: Piece) -> Piece:
    return replace(piece, text=_BRACKETS.sub("", piece.text).strip() or piece.text)


def _without_fillers(piece: Piece) -> Piece:
    return replace(piece, text=_without(piece.text, FILLERS))


def _without_forms(piece: Piece) -> Piece:
    short = " ".join(SHORT.get(word.lower(), word) for word in _without(piece.text, FORMS).split(" "))
    return replace(piece, text=short)


def _without(text: str, words: frozenset[str]) -> str:
    """A text without some words, or as it is where nothing would be left."""
    kept = [word for word in text.split() if fold(word) not in words]
    return " ".join(kept) or text


def _without_levels(piece: Piece) -> Piece:
    return replace(piece, level="")


def _without_labels(piece: Piece) -> Piece:
    return replace(piece, label="")


def _text(head: str, pieces: Sequence[Piece]) -> str:
    """``porter base; cocoa; cherries``, ``porter: cocoa; cherries``."""
    body = "; ".join(dict.fromkeys(piece.written() for piece in pieces))
    if head.endswith(":"):
        return f"{head} {body}" if body else head[:-1]
    return "; ".join(filter(None, (head, body)))
