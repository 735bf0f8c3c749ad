"""YAML to plain values, with the line and column of every one of them.

Only what a record needs: mappings with text keys, lists, text, numbers, true/false, null and ISO dates.
Words such as ``no`` and ``on`` stay text (Norway is NO). Tags are refused, aliases are counted.
"""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass, field
from typing import Any

import yaml

from entryprep.errors import EntryprepError
from entryprep.findings import Finding, Severity
from entryprep.text import several

Path_ = tuple[str | int, ...]
MAX_BYTES = 2_000_000
MAX_NODES = 60_000
MAX_DEPTH = 40
MOST_TOLD = 100  # problems of one record: mending those shows what is behind the others

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_INT = re.compile(r"^[-+]?\d+$", re.ASCII)
_FLOAT = re.compile(r"^[-+]?(\d+\.\d*|\.\d+|\d+)([eE][-+]?\d+)?$", re.ASCII)
_DATE = re.compile(r"^(\d{4})-(\d\d?)-(\d\d?)$", re.ASCII)
_CORE_TAGS = {
    f"tag:yaml.org,2002:{name}" for name in ("str", "int", "float", "bool", "null", "timestamp", "merge", "value")
}
_CONSTANTS = {"true": True, "false": False, "null": None, "~": None, "": None}


class RecordError(EntryprepError):
    """A file that cannot be used at all; ``findings`` say why and where, one message each."""

    def __init__(self, findings: list[Finding]) -> None:
        first = findings[0] if findings else None
        fix, where = (first.fix, first.where) if first else ("", "")
        super().__init__("; ".join(f.text for f in findings), fix, where)
        self.findings = findings


@dataclass
class Document:
    """Plain values of one file; where each value, and each key, stands (line and column from 1)."""

    file: str
    data: Any
    places: dict[Path_, tuple[int, int]] = field(default_factory=dict)
    keys: dict[Path_, tuple[int, int]] = field(default_factory=dict)

    def place(self, path: Path_) -> tuple[int, int]:
        """Line and column of the value at ``path``, or of the nearest thing above it that was written."""
        while path not in self.places and path:
            path = path[:-1]
        return self.places.get(path, (1, 1))

    def problem(self, path: Path_, what: str, fix: str = "", severity: Severity = Severity.ERROR) -> Finding:
        """A finding of rule ``record`` at the place of ``path``."""
        line, column = self.place(path)
        return Finding("record", severity, what, fix=fix, file=self.file, line=line, column=column, path=dotted(path))

    def unsaid(self, path: Path_, count: int) -> list[Finding]:
        """The one finding that says how many more problems there are, where ``count`` is above 0."""
        said = f"{several(count, 'more problem')} like these, which are not listed"
        return [self.problem(path, said, "mend the others first")] if count > 0 else []


def dotted(path: Path_) -> str:
    """``("bottles", 0, "size")`` as ``bottles[1].size``: lists count from 1, as people do."""
    text = ""
    for step in path:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{step}" if text else step
    return text


def parse_yaml(content: bytes, file: str) -> Document:
    """Read YAML text (UTF-8, with or without byte order mark).

    Raises RecordError, holding every problem that could be found, for text that is not UTF-8 or not
    YAML, an empty file, over 2 MB, a tag, a duplicate or non-text key, or too many values once aliases are expanded.
    """
    document = Document(file, None)
    if len(content) > MAX_BYTES:
        raise RecordError([_problem(file, 1, 1, *_too_large(len(content)))])
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        column = error.start - content.rfind(b"\n", 0, error.start)
        raise RecordError([_problem(file, line, column, "the text is not UTF-8", "save the file as UTF-8")]) from None
    try:
        node = yaml.compose(text, Loader=_LOADER)
    except yaml.YAMLError as error:
        raise RecordError([_syntax(file, text, error)]) from None
    except RecursionError:
        raise RecordError([_problem(file, 1, 1, "lists or mappings are nested too deeply", _FLATTEN)]) from None
    if node is None:
        raise RecordError([_problem(file, 1, 1, "the file is empty", "`entryprep start` writes commented starters")])
    builder = _Builder(document)
    document.data = builder.build(node, (), 0)
    if builder.problems:
        more = document.unsaid((), len(builder.problems) - MOST_TOLD)
        raise RecordError([*builder.problems[:MOST_TOLD], *more])
    return document


_FLATTEN = f"at most {MAX_DEPTH} levels are read"


def _too_large(size: int) -> tuple[str, str]:
    return (
        f"the file has {size / 1e6:.1f} MB; records of at most {MAX_BYTES / 1e6:.0f} MB are read",
        "check that this is the right file, or split it",
    )


def _problem(file: str, line: int, column: int, what: str, fix: str) -> Finding:
    return Finding("record", Severity.ERROR, what, fix=fix, file=file, line=line, column=column)


def _syntax(file: str, text: str, error: yaml.YAMLError) -> Finding:
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
    lines = text.splitlines()
    if mark and line <= len(lines) and "\t" in lines[line - 1][: len(lines[line - 1]) - len(lines[line - 1].lstrip())]:
        return _problem(file, line, 1, "the line is indented with a tab", "indent with spaces")
    said = " ".join(str(getattr(error, "problem", None) or getattr(error, "reason", None) or error).split())
    if "control characters" in said or "special characters" in said:
        before = text[: getattr(error, "position", 0)]
        line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
        return _problem(file, line, column, "the text holds a control character", "remove it")
    fix = "check the indentation, and put quotes around text that holds : or #"
    return _problem(file, line, column, f"this is not YAML: {said}", fix)


class _Builder:
    """Turns nodes into values; one pass, counting what aliases expand to."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.problems: list[Finding] = []
        self.count = 0
        self.full = False

    def build(self, node: Any, path: Path_, depth: int) -> Any:
        if self.full:
            return None
        self.count += 1
        mark = node.start_mark
        if self.count > MAX_NODES or depth > MAX_DEPTH:
            self.full = True
            what = "lists or mappings are nested too deeply" if depth > MAX_DEPTH else "the file holds too many values"
            fix = _FLATTEN if depth > MAX_DEPTH else f"at most {MAX_NODES} are read, aliases expanded"
            self.complain(mark, what, fix)
            return None
        self.document.places.setdefault(path, (mark.line + 1, mark.column + 1))
        if isinstance(node, yaml.MappingNode):
            return self.mapping(node, path, depth)
        if isinstance(node, yaml.SequenceNode):
            return [self.build(child, (*path, index), depth + 1) for index, child in enumerate(node.value)]
        return self.scalar(node)

    def mapping(self, node: Any, path: Path_, depth: int) -> dict[str, Any]:
        result: dict[str, Any] = {}
        for key_node, value_node in node.value:
            if not isinstance(key_node, yaml.ScalarNode):
                self.complain(key_node.start_mark, "a key must be a plain word", "write `key: value`")
                continue
            key = str(key_node.value)
            if key in result:
                first = self.document.place((*path, key))
                self.complain(
                    key_node.start_mark, f"the key {key!r} stands twice", f"it is already on line {first[0]}; keep one"
                )
                continue
            self.document.keys[(*path, key)] = (key_node.start_mark.line + 1, key_node.start_mark.column + 1)
            result[key] = self.build(value_node, (*path, key), depth + 1)
        return result

    def scalar(self, node: Any) -> Any:
        text = str(node.value)
        if node.tag and node.tag not in _CORE_TAGS:
            self.complain(node.start_mark, f"the tag {node.tag} is not read", "write the value without a tag")
            return None
        return text if node.style else self.plain(node, text)  # quoted and block text has a style

    def plain(self, node: Any, text: str) -> Any:
        if text.lower() in _CONSTANTS:
            return _CONSTANTS[text.lower()]
        if len(text) <= 40 and _INT.match(text) and not (len(text) > 1 and text.lstrip("+-").startswith("0")):
            return int(text)
        if _FLOAT.match(text) and not re.match(r"^0\d", text):
            return float(text)
        if match := _DATE.match(text):
            try:
                return dt.date(int(match[1]), int(match[2]), int(match[3]))
            except ValueError:
                self.complain(node.start_mark, f"{text} is not a day of the calendar", "write year-month-day")
                return None
        return text

    def complain(self, mark: Any, what: str, fix: str) -> None:
        self.problems.append(_problem(self.document.file, mark.line + 1, mark.column + 1, what, fix))
