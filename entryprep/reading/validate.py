"""From a document to a record: every problem becomes a finding with line, column and remedy."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, TypeVar

from entryprep.findings import Finding
from entryprep.reading.kinds import Place, Problem
from entryprep.reading.record import Record, read_record
from entryprep.reading.yamltext import MOST_TOLD, Document
from entryprep.text import shown

Model = TypeVar("Model", bound=Record)


def validate(document: Document, model: type[Model], at: Place = ()) -> tuple[Model | None, list[Finding]]:
    """Check the value at ``at`` of a document against a record.

    Returns the record, or None, and every problem found.
    """
    data = document.data
    for step in at:
        data = data[step]
    if not isinstance(data, dict):
        return None, [document.problem(at, f"expected `key: value` lines, found {shown(data)}")]
    record, problems = read_record(model, data)
    found = [_finding(document, at, data, problem) for problem in problems[:MOST_TOLD]]
    return record, [*found, *document.unsaid(at, len(problems) - MOST_TOLD)]


def told_problems(model: type[Record], data: dict[str, Any], problems: Sequence[Problem]) -> list[Finding]:
    """The problems of a record that was made in code; nothing was read, so they have no line."""
    document = Document(model.__name__, data)
    return [replace(_finding(document, (), data, problem), line=0, column=0) for problem in problems]


def _finding(document: Document, at: Place, data: Any, problem: Problem) -> Finding:
    path = at + _written(data, problem.at)
    finding = document.problem(path, problem.what, problem.fix)
    if problem.key and path in document.keys:
        line, column = document.keys[path]
        finding = replace(finding, line=line, column=column)
    return finding


def _written(data: Any, place: Place) -> Place:
    """The part of a place that stands in the file: what may be written short has steps that nobody wrote."""
    path: Place = ()
    for step in place:
        in_list = isinstance(data, (list, tuple)) and isinstance(step, int) and step < len(data)
        if in_list or (isinstance(data, dict) and step in data):
            data = data[step]
            path = (*path, step)
        elif isinstance(data, dict) and step == place[-1] and isinstance(step, str):
            path = (*path, step)
    return path
