"""Letters of questions to entrants, as plain text: one for each who left something unsaid."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass, field

from entryprep.receiving.declaration import Declaration
from entryprep.tables.letterwords import questions
from entryprep.text import fold

WIDTH = 76
LONGEST_NAME = 60


@dataclass
class Letters:
    """Questions gathered by entrant (name and contact), entrants in the order they first come."""

    _by_entrant: dict[tuple[str, str], list[str]] = field(default_factory=dict)
    _greetings: dict[tuple[str, str], str] = field(default_factory=dict)

    def add(self, declared: Declaration) -> None:
        """Take the questions of one entry, if there are any."""
        if not declared.questions:
            return
        brewer = declared.text("brewer")
        key = (fold(brewer), fold(declared.text("contact"))) if brewer else ("", declared.entry)
        title = f"Entry {declared.entry}" if not declared.entry.startswith("row ") else f"Your entry ({declared.entry})"
        beer = declared.text("beer")
        style = declared.style.name if declared.style else declared.text("style")
        title += f", {beer}" if beer else ""
        title += f" (declared as {style})" if style else ""
        self._by_entrant.setdefault(key, []).append("\n".join([_filled(title), *map(_asked, declared.questions)]))
        self._greetings.setdefault(key, f"Dear {brewer}," if brewer else "Dear entrant,")

    def __len__(self) -> int:
        return len(self._by_entrant)

    def files(self) -> dict[str, bytes]:
        """The letters by file name below ``letters/``."""
        names: dict[str, int] = {}
        made: dict[str, bytes] = {}
        words = questions()
        for key, entries in self._by_entrant.items():
            name = _file_name(key[0] or f"entry {key[1]}")
            names[name] = names.get(name, 0) + 1
            suffix = f"-{names[name]}" if names[name] > 1 else ""
            count = f"{len(entries)} entries" if len(entries) > 1 else "entry"
            start = words.letter.format(greeting=self._greetings[key], entries=count)
            parts = [_paragraphs(start), *entries, _paragraphs(words.letter_end)]
            made[f"letters/{name}{suffix}.txt"] = ("\n\n".join(parts) + "\n").encode()
        return made


def _filled(text: str) -> str:
    return textwrap.fill(text, WIDTH, break_long_words=True)


def _paragraphs(text: str) -> str:
    return "\n\n".join(_filled(part) for part in text.strip().split("\n\n"))


def _asked(question: str) -> str:
    return textwrap.fill(question, WIDTH, initial_indent="  - ", subsequent_indent="    ")


def _file_name(key: str) -> str:
    """A file name from a name's key: its words joined by hyphens; never empty, never a device's name."""
    name = "-".join(fold(key).split()) or "entrant"
    while len(name.encode()) > LONGEST_NAME * 2 or len(name) > LONGEST_NAME:
        name = name[:-1]
    return f"to-{name}"
