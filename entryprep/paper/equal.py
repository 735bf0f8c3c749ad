"""The equal of a paper as a page of HTML, for those who hear a page, enlarge it or feel it: a PDF of ours has no tags.

It is made of the very flowables that are drawn, so it says what the paper says: a paragraph knows its text, a table its
head, and a picture says itself in words (``as_html``). Headings, lists and tables are what they are called; nothing is
fetched, no script runs, and it prints.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from reportlab.platypus import KeepTogether, PageBreak, Spacer

from entryprep.paper.flowables import Said, Table, TickBox
from entryprep.paper.webpage import html_head
from entryprep.paper.webtext import safe

TICK = '<input type="checkbox">'


def equal_page(story: Sequence[Any], title: str) -> bytes:
    """The page as UTF-8. A story without a title of its own is headed by ``title``, its own titles one step below.

    Every text of the records is escaped. Same input, same bytes. Raises TypeError for a flowable that says nothing.
    """
    deeper = 0 if any(_level(flowable) == 1 and _said(flowable) for flowable in story) else 1
    head = f"<h1>{safe(title)}</h1>\n" if deeper else ""
    body = "\n".join(part for part in _parts(story, deeper) if part)
    return f"{html_head(title)}<main>\n{head}{body}\n</main>\n</body>\n</html>\n".encode()


def _said(flowable: Any) -> Said | None:
    said: Said | None = getattr(flowable, "said", None)
    return said


def _level(flowable: Any) -> int:
    said = _said(flowable)
    return said.level if said is not None else 0


def _parts(story: Iterable[Any], deeper: int) -> list[str]:
    """The flowables of a story; what is to be done, one after the other, as one list."""
    made: list[str] = []
    todo: list[str] = []
    for flowable in [*story, None]:
        items = _todo(flowable) if isinstance(flowable, Table) else []
        if not items and todo:
            made.append(f'<ul class="todo">{"".join(todo)}</ul>')
            todo = []
        todo += items
        if flowable is not None and not items:
            made.append(_part(flowable, deeper))
    return made


@dataclass(frozen=True)
class Line:
    """A line of a paper that is drawn without flowables, for :func:`equal_page`."""

    said: Said


def _part(flowable: Any, deeper: int) -> str:
    if hasattr(flowable, "as_html"):
        return str(flowable.as_html(deeper))
    said = _said(flowable)
    if said is not None:
        tag = f"h{said.level + deeper}" if said.level else "p"
        return f'<{tag} dir="auto">{_inline(said)}</{tag}>'
    if isinstance(flowable, Table):
        return _table(flowable, deeper)
    if isinstance(flowable, KeepTogether):
        return "\n".join(_parts(flowable._content, deeper))
    if isinstance(flowable, PageBreak):
        return "<hr>"
    if getattr(flowable, "silent", False) or isinstance(flowable, Spacer):
        return ""
    raise TypeError(f"{type(flowable).__name__} says nothing to those who do not see it")


def _inline(said: Said) -> str:
    text = f"<b>{safe(said.text)}</b>" if said.bold and not said.level else safe(said.text)
    return f"<b>{safe(said.lead)}</b> {text}" if said.lead else text


def _todo(table: Table) -> list[str]:
    """What is to be done, each with a box to tick, read down the first column and then down the second."""
    rows = table._cellvalues
    if table.head or not rows or not all(isinstance(row[0], TickBox) for row in rows):
        return []
    pairs = [[(row[at], row[at + 1]) for row in rows] for at in range(0, len(rows[0]), 2)]
    texts = [_cell(text) for column in pairs for box, text in column if box]
    return [f'<li dir="auto"><label>{TICK} {text}</label></li>' for text in texts]


def _table(table: Table, deeper: int) -> str:
    if table.frame is not None:
        title, lines = table.frame
        listed = "".join(f'<li dir="auto">{safe(line)}</li>' for line in lines)
        return f'<div class="frame"><p><b>{safe(title)}</b></p>{f"<ul>{listed}</ul>" if lines else ""}</div>'
    rows = table._cellvalues
    if table.head:
        return data_table(table.head, rows[1:])
    down = zip(*rows, strict=True)  # a frame that only places things: each column is read to its end
    return "\n".join(part for column in down for cell in column for part in _parts(_flat(cell), deeper) if part)


def data_table(head: Sequence[str], rows: Sequence[Sequence[Any]]) -> str:
    """A table of figures: a head for each column, and for each row the first cell with words."""
    titles = "".join(f'<th scope="col">{safe(name or "Done")}</th>' for name in head)
    named = next((at for at, name in enumerate(head) if name and name != "Colour"), 0)
    body = "".join(
        "<tr>"
        + "".join(
            f'<th scope="row" dir="auto">{_cell(cell)}</th>'
            if at == named
            else f'<td dir="auto" data-name="{safe(name)}">{_cell(cell)}</td>'
            for at, (name, cell) in enumerate(zip(head, row, strict=True))
        )
        + "</tr>"
        for row in rows
    )
    return f"<table><thead><tr>{titles}</tr></thead><tbody>{body}</tbody></table>"


def _cell(cell: Any) -> str:
    said = [_inline(told) if (told := _said(each)) else _part(each, 0) for each in _flat(cell)]
    return "<br>".join(part for part in said if part)


def _flat(cell: Any) -> list[Any]:
    """The flowables of a cell; none of one that is left empty."""
    return list(cell) if isinstance(cell, (list, tuple)) else [cell] if cell else []
