"""Texts of people turned into names of files: the one place where that is done."""

from __future__ import annotations

import hashlib
import os
import unicodedata
from collections import Counter
from collections.abc import Hashable, Mapping
from typing import TypeVar

Key = TypeVar("Key", bound=Hashable)

LONGEST = 60  # characters of a name made from a text; its ending comes on top
LONGEST_BYTES = 120
LONGEST_PART = 240  # bytes of one step of a path that we write; every usual file system takes 255
# names that stand for devices on some systems, whatever their ending (common practice)
_DEVICES = frozenset(
    {"con", "prn", "aux", "nul", "conin", "conout", "clock"}
    | {f"{port}{digit}" for port in ("com", "lpt") for digit in "0123456789¹²³"}
)


def file_name(text: str) -> str:
    """A text as a file name without its ending: letters, digits, hyphens and underscores of any script, 1 to 60 long.

    Never empty, never the name of a device. Two texts may give one name; :func:`file_names` keeps them apart.
    """
    plain = "".join(c if c.isalnum() or c == "_" else "-" for c in unicodedata.normalize("NFC", text))
    name = "-".join(part for part in _writable(plain).split("-") if part)[:LONGEST]
    while len(name.encode()) > LONGEST_BYTES:
        name = name[:-1]
    name = name.strip("-")
    return f"{name or 'unnamed'}-" if not name or name.casefold() in _DEVICES else name


def file_names(texts: Mapping[Key, str]) -> dict[Key, str]:
    """A file name for each text, no two alike, also where small and capital letters are one.

    A text that is a good name keeps it; of others that would share a name each gets a few characters of its own
    digest, so that a name hangs on the texts and not on their order. The same text twice is counted: ``-2``.
    """
    plain = {text: file_name(text) for text in sorted(set(texts.values()))}
    alike = Counter(_alike(name) for name in plain.values())
    kept = Counter(_alike(name) for text, name in plain.items() if text == name)
    names: dict[str, str] = {}
    used: set[str] = set()
    waiting = []
    for text, name in plain.items():
        if alike[_alike(name)] == 1 or (text == name and kept[_alike(name)] == 1):
            names[text] = name
            used.add(_alike(name))
        else:
            waiting.append(text)
    for text in waiting:
        names[text] = _own_name(text, plain[text], used)
    counts: Counter[str] = Counter()
    made = {}
    for key, text in texts.items():
        counts[text] += 1
        name, turn = names[text], counts[text]
        while turn > 1 and _alike(f"{names[text]}-{turn}") in used:
            turn += 1
        if turn > 1:
            name = f"{names[text]}-{turn}"
            used.add(_alike(name))
        made[key] = name
    return made


def is_safe(name: str) -> bool:
    """Whether a relative path of ours, steps parted by ``/``, stays below its folder on every usual system."""
    steps = name.split("/")
    return bool(name) and all(_is_safe_step(step) for step in steps)


def _is_safe_step(step: str) -> bool:
    if not step or step in {".", ".."} or len(step.encode("utf-8", "surrogatepass")) > LONGEST_PART:
        return False
    if not step.isprintable() or set(step) & set('/\\:*?"<>|') or step[-1] in ". ":
        return False
    return step.partition(".")[0].casefold() not in _DEVICES


def _own_name(text: str, name: str, used: set[str]) -> str:
    digest = hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()
    length = 6
    while True:
        own = f"{name.rstrip('-')}-{digest[:length]}"
        if _alike(own) not in used or length >= len(digest):
            used.add(_alike(own))
            return own
        length += 1


def _alike(name: str) -> str:
    """What a file system that knows no capitals and no composed letters compares."""
    return unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", name).casefold())


def _writable(name: str) -> str:
    """A name of letters that the file system's encoding has: others lose their accents, or become hyphens."""
    return "".join(c if _encodes(c) else _plain(c) for c in name)


def _plain(letter: str) -> str:
    first = unicodedata.normalize("NFKD", letter)[0]
    return first if first.isalnum() and _encodes(first) else "-"


def _encodes(letter: str) -> bool:
    try:
        os.fsencode(letter)
    except UnicodeEncodeError:
        return False
    return not "\ud800" <= letter <= "\udfff"
