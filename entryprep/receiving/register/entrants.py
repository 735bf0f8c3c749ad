"""Entrants whose names may be one person's in several spellings; in proportion to the names there are."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from entryprep.receiving.register.book import Register
from entryprep.receiving.register.state import Entry
from entryprep.text import fold

_SEVERAL = re.compile(r"[;/&+]|\b(?:and|und|et|y)\b", re.IGNORECASE)
# spellings of one sound in names; common practice of European languages, from memory
_SOUNDS = (("ae", "a"), ("oe", "o"), ("ue", "u"), ("ph", "f"), ("th", "t"), ("ck", "k"), ("y", "i"), ("aa", "a"))
MOST_OF_A_MAIL = 8  # names sent from one mail address that are asked about: beyond that it is a club's


def ask_alike(register: Register, entries: Iterable[Entry]) -> set[int]:
    """Ask about each name of these entries that may be one with another name of the register; the questions."""
    state = register.state
    fresh = {entry.id for entry in entries}
    if not fresh:
        return set()
    names: dict[str, tuple[str, set[str], bool]] = {}
    for entry in state.entries.values():
        written = state.texts(entry).get("brewer", "")
        key = entry.known.brewer
        if not key or _SEVERAL.search(written):
            continue
        _, mails, new = names.get(key, ("", set(), False))
        first = names[key][0] if key in names else written
        names[key] = (first, mails | ({entry.known.mail} if "@" in entry.known.mail else set()), new or entry.id in fresh)
    raised = set()
    for one, other in sorted(_pairs(names)):
        if not (names[one][2] or names[other][2]):
            continue
        key = f"register-entrant\x1f{one}\x1f{other}"
        number = state.asked.get(key)
        if number is None:
            number = len(state.questions) + 1
            spelt = [names[one][0], names[other][0]]
            same = [{"what": "alike", "names": spelt}]
            register.note(
                "asked",
                q=number,
                kind="register-entrant",
                key=key,
                values={"one": spelt[0], "other": spelt[1]},
                answers={"same": same, "apart": []},
            )
        raised.add(number)
    return raised


def _pairs(names: dict[str, tuple[str, set[str], bool]]) -> set[tuple[str, str]]:
    """Pairs of names that share a mail address or sound alike but for a letter; each name is paired with the first of
    its kind, so that the pairs are no more than the names allow."""
    first: dict[str, str] = {}
    mails: dict[str, list[str]] = {}
    pairs: set[tuple[str, str]] = set()
    for name in sorted(names):
        for mail in names[name][1]:
            mails.setdefault(mail, []).append(name)
        for key in _keys(name):
            other = first.setdefault(key, name)
            if other != name:
                pairs.add((other, name))
    for group in mails.values():
        if 1 < len(group) <= MOST_OF_A_MAIL:
            pairs |= {(group[0], name) for name in group[1:]}
    return pairs


def _keys(name: str) -> Iterator[str]:
    """A name as it sounds, its words in order of the alphabet, and the same without each of its letters."""
    plain = name
    for spelt, sound in _SOUNDS:
        plain = plain.replace(spelt, sound)
    words = sorted(re.sub(r"(.)\1", r"\1", word) for word in plain.split())
    whole = " ".join(words)
    yield whole
    if len(whole) >= 8 and len(words) > 1 and not any(c.isdigit() for c in whole):
        yield from {whole[:i] + whole[i + 1 :] for i in range(len(whole))}


def one_person(register: Register, name: str) -> str:
    """The folded name under which a person is counted, once spellings were decided to be one."""
    known = fold(name)
    while known in register.state.entrants:
        known = register.state.entrants[known]
    return known
