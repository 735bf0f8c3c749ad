"""What goes back to the brewer: the judges' words, the fit, and what usually lies behind a fault they named."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import NamedTuple

from entryprep.beer.fitting import Fit, Part
from entryprep.receiving.flights import NO_GROUP
from entryprep.receiving.scores import Score
from entryprep.receiving.standings import Standing
from entryprep.tables.faults import Fault, fault_in, fault_table, faults_in_words, named_faults
from entryprep.tables.feedbackwords import band_said, said, tool_said
from entryprep.tables.scales import PARTS, Scale
from entryprep.vitals import amount

WIDTH = 76
TITLE, HEAD, TEXT, ITEM, SMALL, CLOSING = "title", "head", "text", "item", "small", "closing"
COMMON_PRACTICE = "common practice"


class Block(NamedTuple):
    """One paragraph of a feedback sheet: its kind, a few words in front of it that stand out, its text.

    ``shared`` marks what comes again word for word on other sheets.
    """

    kind: str
    text: str
    lead: str = ""
    shared: bool = False


@dataclass(frozen=True)
class About:
    """What is known of an entry besides its scores. ``called`` is how the sheet names it to the brewer, ``language``
    the one its brewer is written to in, ``group`` what it was tasted with where that is our word and not the
    competition's, in this language."""

    called: str
    style: str = ""
    base: str = ""
    group: str = ""
    declaration: str = ""
    fit: tuple[str, ...] = ()
    fit_score: float | None = None
    language: str = "en"

    @property
    def named(self) -> str:
        """The style with its base, in the language of its brewer."""
        style = self.style or said("unsettled", self.language)
        return said("base", self.language, style=style, base=self.base) if self.base else style


def fit_lines(fit: Fit | None, language: str = "en") -> tuple[str, ...]:
    """The fit of an entry, a line for each vital that is known."""
    return tuple(
        said(
            "row",
            language,
            vital=said(part.vital, language),
            value=_amount(part.vital, part.reading.value, language),
            low=_amount(part.vital, part.range.low, language),
            high=_amount(part.vital, part.range.high, language),
            words=_fit_words(part, language),
        )
        for part in (fit.parts if fit else ())
    )


def _amount(vital: str, value: float, language: str) -> str:
    text = amount(vital, value)
    return _figure(text, language).replace("volumes", said("volumes", language))


def _figure(text: str, language: str) -> str:
    """A figure with the decimal mark of the language."""
    return text if language == "en" else text.replace(".", ",")


def _fit_words(part: Part, language: str) -> str:
    """How a vital sits in its range, in a few words."""
    if not part.miss:
        return said("near-edge" if part.how == "near-edge" else "inside", language)
    by = said("over" if part.miss > 0 else "under", language, size=_amount(part.vital, abs(part.miss), language))
    times = _figure(f"{abs(part.miss_in_errors):.1f}", language)
    tool = tool_said("prediction" if part.is_predicted else part.vital, language)
    return said("and", language).join((by, _against(part.how, language, times, tool)))


def _against(how: str, language: str, times: str, tool: str) -> str:
    """How a miss stands to the error of a tool."""
    if how == "times":
        return said("times", language, times=times, tool=tool)
    return said("within" if how == "within" else "hardly" if how == "hardly" else "more", language, tool=tool)


def sheet_blocks(
    standing: Standing, about: About, scale: Scale, places: Mapping[tuple[str, int], int], awards: Sequence[str] = ()
) -> list[Block]:
    """The feedback sheet of one entry, paragraph by paragraph; ``places`` counts the scored entries of each table."""
    tongue = about.language
    blocks = [Block(TITLE, about.called), Block(TEXT, about.named, said("declared", tongue))]
    blocks += [Block(TEXT, about.declaration, said("told", tongue))] if about.declaration else []
    blocks += _result(standing, about, scale, places)
    blocks += [Block(TEXT, f"{award}.", said("awarded", tongue)) for award in awards]
    judged = [score for score in standing.scores if _spoke(score)]
    for turn, score in enumerate(judged, 1):
        blocks += _judge(score, turn, scale, tongue)
    improve = [(score, score.improve) for score in judged if score.improve]
    if improve:
        blocks.append(Block(HEAD, said("improve", tongue)))
        blocks += [
            Block(ITEM, text, f"{score.judge}{said('colon', tongue)}" if score.judge else "") for score, text in improve
        ]
    blocks += _faults(judged, tongue)
    if about.fit:
        whole = "" if about.fit_score is None else said("fit", tongue, score=f"{about.fit_score:.0f}")
        blocks.append(Block(HEAD, said("numbers", tongue, fit=whole)))
        blocks += [Block(ITEM, line) for line in about.fit]
    return [*blocks, Block(CLOSING, said("closing", tongue), shared=True)]


def _result(standing: Standing, about: About, scale: Scale, places: Mapping[tuple[str, int], int]) -> list[Block]:
    tongue = about.language
    result = said("result", tongue)
    if standing.score is None:
        return [Block(TEXT, said("incomplete", tongue), result)]
    band = band_said(scale.band(standing.score), tongue)
    score = _figure(_points(standing.score), tongue)
    told = said("points", tongue, score=score, top=f"{scale.top:g}") + (f", {band}" if band else "")
    how = said("agreed" if standing.agreed else "mean", tongue)
    shared = said("shared", tongue) if standing.tied else ""
    place = said("place", tongue, rank=standing.rank, shared=shared, count=places.get(standing.table, 0))
    group = said("group", tongue, group=about.group or standing.group) if standing.group else ""
    group = said("group-open", tongue) if standing.group == NO_GROUP else group
    group += said("flight", tongue, flight=standing.flight) if standing.flight else ""
    blocks = [Block(TEXT, said("and", tongue).join((told, how, f"{place}{group}.")), result)]
    blocks += [Block(TEXT, said("advances", tongue))] if standing.advances else []
    if standing.spread > scale.spread and not standing.agreed:
        blocks.append(Block(TEXT, said("apart", tongue, spread=f"{standing.spread:g}")))
    if standing.open:
        blocks.append(Block(TEXT, said("open", tongue)))
    return blocks


def _judge(score: Score, turn: int, scale: Scale, tongue: str) -> list[Block]:
    total = ""
    if score.total is not None:
        total = said("total", tongue, total=_figure(_points(score.total), tongue), top=f"{scale.top:g}")
    blocks = [Block(HEAD, f"{score.judge or said('judge', tongue, turn=turn)}{total}")]
    silent = []
    for part, mark, words in zip(PARTS, score.marks, score.said, strict=True):
        points = f" {_figure(_points(mark), tongue)}/{scale.parts[part]:g}" if mark is not None else ""
        if words:
            blocks.append(Block(ITEM, words, f"{said(part, tongue)}{points}{said('colon', tongue)}"))
        elif points:
            silent.append(f"{said(part, tongue)}{points}")
    if silent:
        # nouns have capitals in German
        rest = silent[1:] if tongue == "de" else [each[:1].lower() + each[1:] for each in silent[1:]]
        parts = ", ".join([silent[0], *rest])
        blocks.append(Block(ITEM, said("silent", tongue), parts + said("colon", tongue)))
    return blocks


def _faults(scores: Sequence[Score], tongue: str) -> list[Block]:
    blocks: list[Block] = []
    for fault, who in faults_named(scores):
        told = _said_of(fault.id, tongue)
        named = said("named_by", tongue, names=", ".join(who)) if who else ""
        blocks += [told[0]._replace(text=told[0].text + named), *told[1:]]
    return blocks


@cache
def _said_of(name: str, tongue: str) -> tuple[Block, ...]:
    """What is said of a fault, by its id: the same whoever named it."""
    fault = next(each for each in fault_table() if each.id == name)
    told = fault_in(fault, tongue)
    foreign = said("english", tongue) if told is fault else ""
    source = said("common-practice", tongue) if fault.source == COMMON_PRACTICE else fault.source
    return (
        Block(HEAD, said("about", tongue, fault=told.name) + foreign),
        Block(ITEM, said("and", tongue).join(told.causes) + ".", said("causes", tongue), shared=True),
        Block(ITEM, said("and", tongue).join(told.remedies) + ".", said("remedies", tongue), shared=True),
        *([Block(ITEM, told.caution, said("caution", tongue), shared=True)] if told.caution else []),
        Block(SMALL, said("source", tongue, source=source), shared=True),
    )


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
        return (*_wrapped(text), "")
    if block.kind == HEAD:
        lines = _wrapped(text)
        return ("", *lines, "-" * max(len(line) for line in lines))
    if block.kind == ITEM:
        return tuple(_wrapped(text, "  - ", "    "))
    if block.kind == SMALL:
        return tuple(_wrapped(text, "    "))
    return (*(("",) if block.kind == CLOSING else ()), *_wrapped(text))


def _wrapped(text: str, first: str = "", rest: str = "") -> list[str]:
    """Lines as the library's textwrap breaks them, which takes its time over what most often is a line of words."""
    plain = text.isprintable() and "  " not in text and "-" not in text  # it breaks after hyphens too
    if plain and len(first) + len(text) <= WIDTH:
        return [first + text] if text else []
    words = text.split(" ")
    if not plain or any(len(word) > WIDTH - len(first) for word in words):
        return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=rest)
    lines, line = [], first + words[0]
    for word in words[1:]:
        if len(line) + 1 + len(word) <= WIDTH:
            line += f" {word}"
        else:
            lines.append(line)
            line = rest + word
    return [*lines, line]
