"""What tells one entry from another: its number, or who sent which beer and when. Never its row."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from entryprep.formats.cells import is_empty
from entryprep.receiving.declaration import row_texts
from entryprep.text import MISSPELT, fold

_MAIL = re.compile(r"[\w.+%-]+@[\w-]+(?:\.[\w-]+)+")
_ZEROS = re.compile(r"(?<![0-9])0+(?=[0-9])")
_WHOLE = re.compile(r"^\s*(\d+)\.0+\s*$")  # a number that a spreadsheet took for one
LONGEST = 60  # letters of an entry number that count


def plain_number(text: str) -> str:
    """An entry number as it is compared: ``08``, ``8.0`` and ``8`` are one, ``A-08`` and ``a8`` too; empty for none."""
    if is_empty(text):
        return ""
    whole = _WHOLE.match(text)
    return _ZEROS.sub("", fold(whole[1] if whole else text)).replace(" ", "") or text.strip()


@dataclass(frozen=True, slots=True)
class Evidence:
    """What of one row identifies its entry, as it is compared; ``written`` is the entry number as it stands there.

    ``mail`` is a mail address, or whatever else the form has to reach somebody by; ``words`` a digest of all cells.
    """

    club: str
    written: str
    number: str
    mail: str
    brewer: str
    beer: str
    sent: str
    words: str

    @property
    def people(self) -> tuple[str, ...]:
        """All by which the one who sent it is known."""
        return tuple(dict.fromkeys(name for name in (self.mail, self.brewer) if name))

    @property
    def key(self) -> str:
        """All that identifies the row, as one text: what a question about it is known by."""
        known = (self.number, self.mail, self.brewer, self.beer, self.sent)
        return "\x1f".join((self.club, *(known if any(known) else (self.words,))))

    def agrees(self, other: Evidence) -> int:
        """How much tells that both rows are one entry: who sent it, and which beer; -1 where somebody else sent it.

        0 where nothing is known in both. A name that is only nearly the same counts where the mail or the beer agrees.
        """
        mail, brewer, beer = (_alike(getattr(self, name), getattr(other, name)) for name in ("mail", "brewer", "beer"))
        person = max(mail, brewer)
        if person == DIFFER or (mail == DIFFER and brewer == NEARLY and beer < SAME):
            return -1
        if person == UNKNOWN and beer == DIFFER:
            return -1
        return max(mail, 0) + max(brewer, 0) + max(beer, 0)


UNKNOWN, DIFFER, NEARLY, SAME = -2, -1, 1, 2


def _alike(one: str, other: str) -> int:
    if not one or not other:
        return UNKNOWN
    return SAME if one == other else NEARLY if near(one, other) else DIFFER


def near(one: str, other: str) -> bool:
    """Whether two folded names are one but for their order and a slip of the finger."""
    if min(len(one), len(other)) < 5 or "@" in one:
        return False
    from rapidfuzz import fuzz  # noqa: PLC0415 - only names that are not the same need it

    return bool(fuzz.token_sort_ratio(one, other) >= MISSPELT)


@lru_cache(maxsize=8192)  # a row is looked at when its form is joined, and again when it is taken in
def evidence(fields: tuple[tuple[str, int], ...], cells: tuple[str, ...], club: str) -> Evidence:
    """What identifies a row, from the fields of its form with their columns, and all its cells."""
    texts = row_texts(fields, cells)
    said = {
        name: "" if is_empty(texts.get(name, "")) else texts[name] for name in ("contact", "brewer", "beer", "sent")
    }
    mail = _MAIL.search(said["contact"])
    written = texts.get("entry", "")[:LONGEST]
    return Evidence(
        club,
        written,
        plain_number(written),
        mail[0].casefold() if mail else fold(said["contact"]),
        fold(said["brewer"]),
        fold(said["beer"]),
        fold(said["sent"]),
        digest_of(cells),
    )


def digest_of(texts: Sequence[str]) -> str:
    """Sixteen hexadecimal digits for a row of texts (of SHA-256)."""
    return hashlib.sha256("\x1f".join(texts).encode("utf-8", "surrogatepass")).hexdigest()[:16]


def name_of(known: Evidence) -> str:
    """The name an entry is given in the register, before others of that name are told apart from it."""
    plain = f"{known.club}/{known.written}" if known.club else known.written
    return plain if known.number else "n" + digest_of((known.key,))[:7]
