"""Letters of questions to entrants, as plain text: one for each who left something unsaid."""

from __future__ import annotations

import datetime as dt
import textwrap
import unicodedata
from dataclasses import dataclass, field

from entryprep.filenames import file_names
from entryprep.receiving.declaration import Declaration
from entryprep.tables.letterwords import questions

WIDTH = 76


@dataclass(frozen=True)
class Sender:
    """Who writes: the competition, who signs, the mail address and the day for answers; empty where not known."""

    competition: str = ""
    name: str = ""
    mail: str = ""
    answers_by: dt.date | None = None


@dataclass
class Letters:
    """Questions gathered by entrant (name and contact), entrants in the order they first come.

    Each letter is in the language of its first entry.
    """

    sender: Sender = Sender()
    _by_entrant: dict[tuple[str, str], list[str]] = field(default_factory=dict)
    _names: dict[tuple[str, str], str] = field(default_factory=dict)
    _languages: dict[tuple[str, str], str] = field(default_factory=dict)

    def add(self, declared: Declaration) -> None:
        """Take the questions of one entry, if there are any."""
        if not declared.questions:
            return
        brewer = declared.text("brewer")
        key = (_same(brewer), _same(declared.text("contact"))) if brewer else ("", declared.entry)
        heads = questions(declared.language).heads
        title = heads["row" if declared.entry.startswith("row ") else "entry"].format(entry=declared.entry)
        beer = declared.text("beer")
        style = declared.style.name if declared.style else declared.text("style")
        title += f", {beer}" if beer else ""
        title += heads["declared"].format(style=style) if style else ""
        self._by_entrant.setdefault(key, []).append("\n".join([_filled(title), *map(_asked, declared.questions)]))
        self._names.setdefault(key, brewer)
        self._languages.setdefault(key, declared.language)

    def __len__(self) -> int:
        return len(self._by_entrant)

    def files(self) -> dict[str, bytes]:
        """The letters by file name below ``letters/``."""
        made: dict[str, bytes] = {}
        names = file_names({key: f"to {key[0] or f'entry {key[1]}'}" for key in self._by_entrant})
        for key, entries in self._by_entrant.items():
            words, sender = questions(self._languages[key]), self.sender
            heads, name = words.heads, self._names[key]
            start = words.letter.format(
                greeting=heads["dear"].format(name=name) if name else heads["nobody"],
                entries=heads["many"].format(count=len(entries)) if len(entries) > 1 else heads["one"],
                competition=heads["to"].format(competition=sender.competition) if sender.competition else "",
                mail=heads["mail"].format(mail=sender.mail) if sender.mail else "",
                day=heads["by"].format(day=sender.answers_by.isoformat()) if sender.answers_by else "",
            )
            parts = [_paragraphs(start), *entries, _paragraphs(words.letter_end)]
            if sender.name:
                signed = heads["mailed" if sender.mail else "signed"]
                parts.append(_filled(signed.format(name=sender.name, mail=sender.mail)))
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
