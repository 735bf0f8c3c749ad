"""Letters of questions to entrants, as plain text: one for each who left something unsaid."""

from __future__ import annotations

import textwrap
import unicodedata
from dataclasses import dataclass, field

from entryprep.filenames import file_names
from entryprep.receiving.declaration import Declaration
from entryprep.tables.letterwords import questions

WIDTH = 76


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
        key = (_same(brewer), _same(declared.text("contact"))) if brewer else ("", declared.entry)
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
        made: dict[str, bytes] = {}
        words = questions()
        names = file_names({key: f"to {key[0] or f'entry {key[1]}'}" for key in self._by_entrant})
        for key, entries in self._by_entrant.items():
            count = f"{len(entries)} entries" if len(entries) > 1 else "entry"
            start = words.letter.format(greeting=self._greetings[key], entries=count)
            parts = [_paragraphs(start), *entries, _paragraphs(words.letter_end)]
            made[f"letters/{names[key]}.txt"] = ("\n\n".join(parts) + "\n").encode()
        return made


def _filled(text: str) -> str:
    return textwrap.fill(text, WIDTH, break_long_words=True)


def _paragraphs(text: str) -> str:
    return "\n\n".join(_filled(part) for part in text.strip().split("\n\n"))


def _asked(question: str) -> str:
    return textwrap.fill(question, WIDTH, initial_indent="  - ", subsequent_indent="    ")


def _same(text: str) -> str:
    """What is compared to tell whether two declarations come from one entrant: capitals and blanks do not count."""
    return " ".join(unicodedata.normalize("NFC", text).casefold().split())
