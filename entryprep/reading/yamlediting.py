"""One value put into a YAML file that a person wrote: every other byte of it, comments and all, stays as it is."""

from __future__ import annotations

import copy
from typing import Any

import yaml

from entryprep.errors import EntryprepError
from entryprep.reading.yamltext import Document, Path_, dotted, parse_yaml
from entryprep.reading.yamlwriting import flow, scalar


class EditError(EntryprepError):
    """A value that cannot be put in without touching what a person wrote; ``fix`` says how to do it by hand."""


def with_value(content: bytes, file: str, path: Path_, value: object, annotation: Any = None) -> bytes:
    """The file with ``value`` at ``path``: in the place of what stands there, or as a new key that ends its mapping.

    ``annotation`` is the type of the field, for quotes. The result is read back, and holds that change and no other.
    Raises EditError where a value is written over several lines or a list ends before ``path``, RecordError for a
    file that cannot be read.
    """
    before = parse_yaml(content, file)
    text = content.decode("utf-8-sig")
    after = _edited(text, file, path, flow(value, annotation))
    mark = b"\xef\xbb\xbf" if content.startswith(b"\xef\xbb\xbf") else b""
    made = mark + after.encode()
    try:
        read = parse_yaml(made, file).data
        wanted = _set(copy.deepcopy(before.data), path, parse_yaml(f"v: {flow(value, annotation)}".encode(), file))
    except EntryprepError:
        raise _by_hand(file, path) from None
    if read != wanted:
        raise _by_hand(file, path)
    return made


def _by_hand(file: str, path: Path_) -> EditError:
    return EditError(f"{file}: {dotted(path)} cannot be written in as the file stands", "put it in by hand")


def _set(data: Any, path: Path_, value: Document) -> Any:
    inner = value.data["v"]
    *above, last = path
    here = data
    for step in above:
        if isinstance(here, dict) and here.get(step) is None:
            here[step] = {}
        here = here[step]
    here[last] = inner
    return data


def _edited(text: str, file: str, path: Path_, written: str) -> str:
    node: Any = yaml.compose(text, Loader=yaml.SafeLoader)
    key: Any = None
    for depth, step in enumerate(path):
        found, key = _child(node, step), _key(node, step)
        if found is None:
            return _inserted(text, file, path, depth, node, written)
        node = found
    return _replaced(text, file, path, key, node, written)


def _child(node: Any, step: str | int) -> Any:
    if isinstance(node, yaml.MappingNode):
        return next((value for key, value in node.value if key.value == step), None)
    if isinstance(node, yaml.SequenceNode) and isinstance(step, int) and step < len(node.value):
        return node.value[step]
    return None


def _key(node: Any, step: str | int) -> Any:
    if isinstance(node, yaml.MappingNode):
        return next((key for key, _ in node.value if key.value == step), None)
    return None


def _empty(node: Any) -> bool:
    return isinstance(node, yaml.ScalarNode) and node.start_mark.index == node.end_mark.index


def _replaced(text: str, file: str, path: Path_, key: Any, node: Any, written: str) -> str:
    if _empty(node) and key is not None:
        place = key.end_mark.index + 1
        return f"{text[:place]} {written}{text[place:]}"
    inline = isinstance(node, yaml.ScalarNode) and node.style not in {"|", ">"}
    if not inline and not getattr(node, "flow_style", False):
        raise _by_hand(file, path)
    return text[: node.start_mark.index] + written + text[node.end_mark.index :]


def _inserted(text: str, file: str, path: Path_, depth: int, node: Any, written: str) -> str:
    """The text with a key that is not there yet, and with those above it that are not."""
    names = path[depth:]
    if any(isinstance(name, int) for name in names):
        raise EditError(f"{file}: {dotted(path)}: the list is not that long", "count from 1, or add it by hand")
    if isinstance(node, yaml.MappingNode) and node.flow_style:
        for name in reversed(names[1:]):
            written = f"{{{scalar(name)}: {written}}}"
        pair = f"{scalar(names[0])}: {written}"
        if node.value:
            place = _end(node.value[-1][1])
            return f"{text[:place]}, {pair}{text[place:]}"
        place = node.start_mark.index + 1
        return f"{text[:place]}{pair}{text[place:]}"
    newline = "\r\n" if "\r\n" in text else "\n"
    if isinstance(node, yaml.MappingNode) and node.value:
        column = node.start_mark.column
        place = _line_after(text, _end(node.value[-1][1]))
    elif _empty(node):
        parent_column, place = _line_of(text, node, path, depth)
        column = parent_column + 2
    else:
        raise _by_hand(file, path)
    lines = []
    for step, name in enumerate(names):
        last = step == len(names) - 1
        lines.append(f"{' ' * (column + 2 * step)}{scalar(name)}:{f' {written}' if last else ''}{newline}")
    before = text[:place]
    if before and not before.endswith(("\n", "\r")):
        before += newline
    return before + "".join(lines) + text[place:]


def _end(node: Any) -> int:
    """Where the last thing inside a node ends; a block collection itself seems to end at what follows it."""
    while isinstance(node, (yaml.MappingNode, yaml.SequenceNode)) and not node.flow_style and node.value:
        last = node.value[-1]
        node = last[1] if isinstance(last, tuple) else last
    return int(node.end_mark.index)


def _line_after(text: str, place: int) -> int:
    """The beginning of the line after ``place``."""
    if place and text[place - 1] == "\n":
        return place
    end = text.find("\n", place)
    return len(text) if end < 0 else end + 1


def _line_of(text: str, node: Any, path: Path_, depth: int) -> tuple[int, int]:
    """Column of the key whose value is empty, and the beginning of the line after it."""
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    above: Any = root
    for step in path[: depth - 1]:
        above = _child(above, step)
    key = _key(above, path[depth - 1]) if depth else None
    if key is None:
        return -2, _line_after(text, node.end_mark.index)
    return int(key.start_mark.column), _line_after(text, key.end_mark.index)
