"""What a steward may change, one by one: which entry is meant, and whether the change can be made."""

from __future__ import annotations

import shlex
from collections.abc import Iterable

from entryprep.findings import Finding
from entryprep.receiving.register.book import Register
from entryprep.receiving.register.identity import plain_number
from entryprep.receiving.register.journal import RegisterError
from entryprep.receiving.register.state import ABSENT, ARRIVED, BROKEN, ENTERED, WITHDRAWN, Entry, SeatedJudge
from entryprep.receiving.seating import JudgeRow
from entryprep.tables.rules import finding
from entryprep.text import did_you_mean, fold, listed, name_key

STANDINGS = {"withdrawn": WITHDRAWN, "absent": ABSENT, "broken": BROKEN, "arrived": ARRIVED, "reentered": ENTERED}
"""Changes of how an entry stands, by the word that makes them."""
MOVABLE = ("category", "style", "base", "specials", "notes")


def entry_of(register: Register, said: str, blind: bool = False) -> Entry:
    """The entry somebody means: by its name in the register, its entry number, its blind number, or a beer's name.

    ``blind`` takes the word as a blind number alone. Raises RegisterError for none, and for several.
    """
    state = register.state
    word = said.strip()
    if blind:
        number = "".join(word.split())
        if number not in state.owners:
            raise RegisterError(f"no entry has the blind number {word[:40]}", "look at the label again")
        return state.entries[state.owners[number]]
    if word in state.entries:
        found = {word}
    else:
        found = {e.id for e in state.entries.values() if e.known.number and e.known.number == plain_number(word)}
        found = found or {e.id for e in state.entries.values() if e.known.beer and e.known.beer == fold(word)}
    owner = state.owners.get(word)
    if owner is not None and found - {owner}:
        raise RegisterError(
            f"{word} is the blind number of entry {owner}, and also entry {listed(sorted(found))}",
            "add --blind if the blind number is meant, or name the entry by its beer",
        )
    found |= {owner} if owner is not None else set()
    if len(found) > 1:
        raise RegisterError(f"{word[:40]} may be {listed(sorted(found), 8)}", "name one of them")
    if not found:
        known = [*state.entries, *(e.known.beer for e in state.entries.values() if e.known.beer)]
        raise RegisterError(f"there is no entry {word[:40] or '(nothing)'}", did_you_mean(word, known, "entries"))
    return state.entries[found.pop()]


def set_standing(register: Register, entry: Entry, word: str, why: str = "") -> bool:
    """Say how an entry stands; whether that is new."""
    if entry.standing == STANDINGS[word]:
        return False
    register.note(word, why, entry=entry.id)
    register.draw_numbers()
    return True


def move(register: Register, entry: Entry, to: dict[str, str], why: str = "") -> bool:
    """Say otherwise what an entry is declared as, by field of MOVABLE; whether anything of it is new."""
    now = register.state.texts(entry)
    fresh = {name: text for name, text in to.items() if now.get(name, "") != text}
    if fresh:
        was = {name: now.get(name, "") for name in fresh}
        register.note("moved", why, entry=entry.id, to=fresh, was=was)
    return bool(fresh)


def judge_of(register: Register, name: str) -> SeatedJudge:
    """The judge somebody means. Raises RegisterError for none."""
    judges = register.state.judges
    found = judges.get(name_key(name))
    if found is None:
        known = [judge.name for judge in judges.values()]
        raise RegisterError(f"there is no judge {name[:40]}", did_you_mean(name, known, "judges"))
    return found


def judge_gone(register: Register, name: str, after: int, why: str = "") -> None:
    """A judge has left after a flight (0: before the first). Raises RegisterError for no such judge."""
    judge = judge_of(register, name)
    register.note("judge-gone", why, judge=judge.name, after=after)


def judge_arrived(register: Register, name: str, texts: dict[str, str], why: str = "") -> bool:
    """A judge is there: a new one, or one who had left; whether that is new."""
    key = name_key(name)
    known = register.state.judges.get(key)
    if known is None:
        register.note("judge", why, judge=name.strip(), texts=texts, listed=False)
    elif not known.there:
        register.note("judge-back", why, judge=known.name)
    else:
        return False
    return True


def take_judges(register: Register, rows: Iterable[JudgeRow], file: str) -> list[Finding]:
    """Take the judges of a sheet in. Whom an earlier sheet named and this one does not is gone, and who was gone for
    that alone and stands in it again is back; both are told."""
    state, seen = register.state, set[str]()
    findings = []
    folder = shlex.quote(register.folder.as_posix())
    for row in rows:
        name = row.texts.get("judge", "")
        key = name_key(name)
        texts = {field: text for field, text in row.texts.items() if text and field != "judge"}
        known = state.judges.get(key)
        values = {"judge": name, "folder": folder, "quoted": shlex.quote(name)}
        if name and key not in seen and (known is None or known.texts != texts or not known.listed):
            register.note("judge", judge=name, texts=texts)
        if known is not None and known.dropped and key not in seen:
            register.note("judge-back", "the sheet of judges names the judge again", judge=known.name)
            findings.append(finding("judge-removed", values, file=file, line=row.row, column=1, case="again"))
        seen.add(key)
    for judge in [j for key, j in state.judges.items() if j.listed and j.there and key not in seen]:
        values = {"judge": judge.name, "folder": folder, "quoted": shlex.quote(judge.name)}
        findings.append(finding("judge-removed", values, file=file))
        register.note("judge-gone", "no longer in the sheet of judges", judge=judge.name, after=0, dropped=True)
    return findings
