"""Entrants whose names may be one person's in several spellings; in proportion to the names there are."""

from __future__ import annotations

import re
from collections.abc import Iterable

from entryprep.receiving.register.book import Register
from entryprep.receiving.register.identity import near
from entryprep.receiving.register.state import Entry
from entryprep.text import fold

_SEVERAL = re.compile(r"[;/&+]|\b(?:and|und|et|y)\b", re.IGNORECASE)
# spellings of one sound in names; common practice of European languages, from memory
_SOUNDS = (("ae", "a"), ("oe", "o"), ("ue", "u"), ("ph", "f"), ("th", "t"), ("ck", "k"), ("y", "i"), ("aa", "a"))
_DOUBLED = re.compile(r"(.)\1")
LEAST = 8  # letters of a name of which one may differ
MOST_NEAR = 6  # names of one sound that another is held against
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
        names[key] = (
            first,
            mails | ({entry.known.mail} if "@" in entry.known.mail else set()),
            new or entry.id in fresh,
        )
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
    """Pairs of names that sound alike but for a letter, or are short for each other and share a mail address; each is
    held against a few others."""
    from rapidfuzz.distance import Levenshtein  # noqa: PLC0415 - only a register needs it

    sounds = {name: _sound(name) for name in sorted(names)}
    alike: dict[str, list[str]] = {}
    mails: dict[str, list[str]] = {}
    pairs: set[tuple[str, str]] = set()
    for name, sound in sounds.items():
        for mail in names[name][1]:
            mails.setdefault(mail, []).append(name)
        for key in _keys(sound):
            others = alike.setdefault(key, [])
            pairs |= {
                (other, name) for other in others if Levenshtein.distance(sounds[other], sound, score_cutoff=1) <= 1
            }
            if len(others) < MOST_NEAR:
                others.append(name)
    for group in mails.values():
        if 1 < len(group) <= MOST_OF_A_MAIL:
            pairs |= {(one, name) for i, one in enumerate(group) for name in group[i + 1 :] if _is_short_for(one, name)}
    return pairs


def _is_short_for(one: str, other: str) -> bool:
    """Whether each word of the shorter name begins as a word of the longer does, or the other way round: initials,
    names left out, short forms."""
    few, many = sorted((one.split(), other.split()), key=len)
    return all(any(a.startswith(b) or b.startswith(a) or near(a, b) for b in many) for a in few)


def _sound(name: str) -> str:
    """A name as it sounds, its words in the order of the alphabet."""
    plain = name
    for spelt, sound in _SOUNDS:
        plain = plain.replace(spelt, sound)
    return " ".join(sorted(_DOUBLED.sub(r"\1", word) for word in plain.split()))


def _keys(sound: str) -> set[str]:
    """A sound and, of a long one, the same without each of its letters: two that share one may be a letter apart."""
    if len(sound) < LEAST or " " not in sound or any(c.isdigit() for c in sound):
        return {sound}
    return {sound, *(sound[:i] + sound[i + 1 :] for i in range(len(sound)))}


def one_person(register: Register, name: str) -> str:
    """The folded name under which a person is counted, once spellings were decided to be one."""
    known = fold(name)
    while known in register.state.entrants:
        known = register.state.entrants[known]
    return known
