"""What goes back to the brewer: the judges' words, the fit, and what usually lies behind a fault they named."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from entryprep.beer.fitting import Fit
from entryprep.measures import in_units
from entryprep.receiving.scores import Score
from entryprep.receiving.standings import Standing
from entryprep.tables.faults import Fault, faults_in_words, named_faults
from entryprep.tables.scales import PARTS, Scale
from entryprep.vitals import amount

WIDTH = 76
TITLE, HEAD, TEXT, ITEM, SMALL = "title", "head", "text", "item", "small"
CLOSING = (
    "Judges taste once, blind, one bottle on one day. Causes and remedies are common practice, not a finding about "
    "your brewery: several causes can lead to one fault."
)


@dataclass(frozen=True)
class Block:
    """One paragraph of a feedback sheet: its kind, a few words in front of it that stand out, its text.

    ``shared`` marks what comes again word for word on other sheets.
    """

    kind: str
    text: str
    lead: str = ""
    shared: bool = False


@dataclass(frozen=True)
class About:
    """What is known of an entry besides its scores. ``called`` is how the sheet names it to the brewer."""

    called: str
    style: str = ""
    declaration: str = ""
    fit: tuple[str, ...] = ()
    fit_score: float | None = None


def fit_lines(fit: Fit | None) -> tuple[str, ...]:
    """The fit of an entry, a line for each vital that is known."""
    return tuple(
        f"{part.vital.upper()} {amount(part.vital, part.reading.value)}, range {amount(part.vital, part.range.low)} to "
        f"{amount(part.vital, part.range.high)}: {part.words}"
        for part in (fit.parts if fit else ())
    )


def sheet_blocks(
    standing: Standing, about: About, scale: Scale, places: Mapping[tuple[str, int], int], awards: Sequence[str] = ()
) -> list[Block]:
    """The feedback sheet of one entry, paragraph by paragraph; ``places`` counts the scored entries of each table."""
    blocks = [Block(TITLE, about.called), Block(TEXT, about.style or "style not settled", "Declared as")]
    blocks += [Block(TEXT, about.declaration, "Told to the judges:")] if about.declaration else []
    blocks += _result(standing, scale, places)
    blocks += [Block(TEXT, f"{award}.", "Awarded:") for award in awards]
    judged = [score for score in standing.scores if _spoke(score)]
    for turn, score in enumerate(judged, 1):
        blocks += _judge(score, turn, scale)
    improve = [(score, score.improve) for score in judged if score.improve]
    if improve:
        blocks.append(Block(HEAD, "One thing to improve"))
        blocks += [Block(ITEM, text, f"{score.judge}:" if score.judge else "") for score, text in improve]
    blocks += _faults(judged)
    if about.fit:
        whole = "" if about.fit_score is None else f" (fit {about.fit_score:.0f} of 100)"
        blocks.append(Block(HEAD, f"The numbers declared, against the style{whole}"))
        blocks += [Block(ITEM, line) for line in about.fit]
    return [*blocks, Block(SMALL, CLOSING, shared=True)]


def _result(standing: Standing, scale: Scale, places: Mapping[tuple[str, int], int]) -> list[Block]:
    if standing.score is None:
        return [Block(TEXT, "The scores of this entry are not complete yet.", "Result:")]
    band = scale.band(standing.score)
    said = f"{_points(standing.score)} of {scale.top:g} points" + (f", {band}" if band else "")
    how = "agreed by the judges" if standing.agreed else "the mean of the judges' sums"
    place = f"place {standing.rank}{' (shared)' if standing.tied else ''} of {places.get(standing.table, 0)}"
    group = f" in {standing.group}" if standing.group else ""
    group += f" at flight {standing.flight}" if standing.flight else ""
    blocks = [Block(TEXT, f"{said}; {how}; {place}{group}.", "Result:")]
    blocks += [Block(TEXT, "It advances to the next round.")] if standing.advances else []
    if standing.spread > scale.spread and not standing.agreed:
        blocks.append(Block(TEXT, f"The judges lie {standing.spread:g} points apart: read each for itself."))
    if standing.open:
        blocks.append(Block(TEXT, "Not every judge's score is in yet."))
    return blocks


def _judge(score: Score, turn: int, scale: Scale) -> list[Block]:
    total = f", {_points(score.total)} of {scale.top:g}" if score.total is not None else ""
    blocks = [Block(HEAD, f"{score.judge or f'Judge {turn}'}{total}")]
    silent = []
    for part, mark, said in zip(PARTS, score.marks, score.said, strict=True):
        points = f" {_points(mark)}/{scale.parts[part]:g}" if mark is not None else ""
        if said:
            blocks.append(Block(ITEM, said, f"{part.capitalize()}{points}:"))
        elif points:
            silent.append(f"{part}{points}")
    if silent:
        blocks.append(Block(ITEM, "no words", f"{', '.join(silent).capitalize()}:"))
    return blocks


def _faults(scores: Sequence[Score]) -> list[Block]:
    found = faults_named(scores)
    blocks: list[Block] = []
    for fault, who in found:
        blocks.append(Block(HEAD, f"About “{fault.name}”" + (f", named by {', '.join(who)}" if who else "")))
        blocks.append(Block(ITEM, in_units("; ".join(fault.causes)) + ".", "Usual causes:", shared=True))
        blocks.append(Block(ITEM, in_units("; ".join(fault.remedies)) + ".", "What usually helps:", shared=True))
        blocks += [Block(ITEM, fault.caution, "Caution:", shared=True)] if fault.caution else []
        blocks.append(Block(SMALL, f"Source: {fault.source}.", shared=True))
    return blocks


def faults_named(scores: Sequence[Score]) -> list[tuple[Fault, tuple[str, ...]]]:
    """Each fault named in the column of faults or in the judges' words, with who named it; most named first."""
    who: dict[str, dict[str, None]] = {}
    faults: dict[str, Fault] = {}
    for score in scores:
        words = ". ".join((*score.said, score.improve))
        for fault in (*named_faults(score.faults)[0], *faults_in_words(words)):
            faults[fault.id] = fault
            who.setdefault(fault.id, {})[score.judge] = None
    order = sorted(faults, key=lambda name: (-len(who[name]), name))
    return [(faults[name], tuple(judge for judge in who[name] if judge)) for name in order]


def _spoke(score: Score) -> bool:
    return bool(score.words or score.points or score.total is not None or score.improve or score.faults)


def _points(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def as_text(blocks: Iterable[Block]) -> str:
    """A sheet as plain text, at most 76 characters wide."""
    return "\n".join(line for block in blocks for line in _text_lines(block)) + "\n"


@lru_cache(maxsize=4096)  # what is said of a fault comes again on many sheets
def _text_lines(block: Block) -> tuple[str, ...]:
    text = f"{block.lead} {block.text}".strip()
    if block.kind == TITLE:
        return (*textwrap.wrap(text, WIDTH), "")
    if block.kind == HEAD:
        lines = textwrap.wrap(text, WIDTH)
        return ("", *lines, "-" * max(len(line) for line in lines))
    if block.kind == ITEM:
        return tuple(textwrap.wrap(text, WIDTH, initial_indent="  - ", subsequent_indent="    "))
    if block.kind == SMALL and text != CLOSING:
        return tuple(textwrap.wrap(text, WIDTH, initial_indent="    "))
    return (*(("",) if block.kind == SMALL else ()), *textwrap.wrap(text, WIDTH))
