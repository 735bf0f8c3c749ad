"""Entries that name what is dangerous to drink: held back, and asked about, until a steward decides."""

from __future__ import annotations

from collections.abc import Iterable

from entryprep.receiving.checks_cautions import harm_in
from entryprep.receiving.declaration import told_in
from entryprep.receiving.register.book import Register
from entryprep.receiving.register.joining import SETTLED
from entryprep.receiving.register.state import OUT, Entry
from entryprep.text import shortened

KIND = "register-harmful"
POUR, WITHDRAW = "pour", "out"


def review_harm(register: Register, entries: Iterable[Entry]) -> None:
    """Hold back what of these entries names something dangerous to drink, and ask; let go what no longer does.

    What a steward decided to pour stays decided as long as the entry says the same.
    """
    state = register.state
    asked = {question.about: question for question in state.open_questions() if question.kind == KIND}
    for entry in entries:
        words = harm_in(told_in(state.texts(entry)))
        question = asked.get(entry.id)
        if question is not None and (words != entry.held or entry.standing in OUT):
            why = "the entry is out" if entry.standing in OUT else "the entry no longer says so"
            register.note("decided", why, q=question.q, answer=SETTLED)
            question = None
        if entry.held and not words:
            register.note("cleared", "the entry no longer names it", entry=entry.id, words="")
        elif words and words not in {entry.held, entry.cleared}:
            register.note("held", entry=entry.id, words=words)
        if entry.held and question is None and entry.standing not in OUT:
            _ask(register, entry)


def _ask(register: Register, entry: Entry) -> None:
    state = register.state
    texts = state.texts(entry)
    said = {"q": len(state.questions) + 1, "kind": KIND, "key": f"{KIND}\x1f{entry.id}\x1f{state.last}"}
    beer = ", ".join(shortened(texts[name]) for name in ("brewer", "beer") if texts.get(name))
    pour = {"what": "cleared", "entry": entry.id, "words": entry.held}
    out = {"what": "withdrawn", "entry": entry.id}
    values = {"says": f" ({beer})" if beer else "", "harm": entry.held}
    register.note("asked", **said, values=values, about=entry.id, answers={POUR: [pour], WITHDRAW: [out]})
