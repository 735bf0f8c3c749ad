"""Where in a JSON text a value stands; only asked for when there is something to say about it."""

from __future__ import annotations

import json
import re

from entryprep.reading.yamltext import Path_

_SPACE = re.compile(r"[ \t\r\n]*")
_DECODER = json.JSONDecoder()


def json_place(text: str, path: Path_) -> tuple[int, int]:
    """Line and column, from 1, of the value at ``path``, or of the nearest value above it that is there."""
    index = _skip(text, 0)
    for step in path:
        below = _member(text, index, step)
        if below is None:
            break
        index = below
    return text.count("\n", 0, index) + 1, index - (text.rfind("\n", 0, index) + 1) + 1


def _skip(text: str, index: int) -> int:
    match = _SPACE.match(text, index)
    return match.end() if match else index


def _member(text: str, index: int, step: str | int) -> int | None:
    opening = text[index : index + 1]
    if opening not in {"{", "["} or (opening == "{") != isinstance(step, str):
        return None
    index = _skip(text, index + 1)
    count = 0
    while text[index : index + 1] not in {"}", "]", ""}:
        key: str | int = count
        if opening == "{":
            key, index = _DECODER.raw_decode(text, index)
            index = _skip(text, _skip(text, index) + 1)  # over the colon
        if key == step:
            return index
        _, index = _DECODER.raw_decode(text, index)
        index = _skip(text, index)
        if text[index : index + 1] == ",":
            index = _skip(text, index + 1)
        count += 1
    return None
