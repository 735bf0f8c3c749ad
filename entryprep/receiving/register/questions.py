"""What a register asks, as findings, and what an answer changes."""

from __future__ import annotations

import shlex
from collections.abc import Iterable

from entryprep.findings import Finding
from entryprep.receiving.register.book import Register
from entryprep.receiving.register.competition import KIND, TAKE, hold_competition, put_in_place
from entryprep.receiving.register.journal import RegisterError
from entryprep.receiving.register.listing import ENTRIES
from entryprep.receiving.register.state import Question
from entryprep.tables.rules import finding
from entryprep.text import either


def question_findings(register: Register, which: Iterable[int] | None = None) -> list[Finding]:
    """Open questions as findings, with the command that decides each; ``which`` are their numbers (None: all)."""
    wanted = None if which is None else set(which)
    return [_told(register, q) for q in register.state.open_questions() if wanted is None or q.q in wanted]


def _told(register: Register, question: Question) -> Finding:
    folder = shlex.quote(register.folder.as_posix())
    values = {**question.values, "entry": question.about, "q": question.q, "folder": folder}
    return finding(
        question.kind,
        values,
        file=question.file or (register.folder / ENTRIES).as_posix(),
        line=question.row,
        column=min(question.row, 1),
        about=question.about,
        case=question.case,
    )


def decide(register: Register, number: int, answer: str, why: str = "") -> Question:
    """Answer an open question and make the changes that follow. Raises RegisterError for none such, or another word."""
    question = register.state.questions.get(number)
    if question is None or question.answer:
        known = [str(q.q) for q in register.state.open_questions()]
        state = "is decided already" if question else "is not asked here"
        fix = f"open questions: {', '.join(known[:20])}" if known else "nothing is left to decide"
        raise RegisterError(f"question {number} {state}", fix, register.folder.as_posix())
    if answer not in question.answers:
        raise RegisterError(f"{answer[:40]} does not answer question {number}", f"say {either(list(question.answers))}")
    if question.kind == KIND:
        hold_competition(register)  # whatever it was edited to meanwhile is kept in the journal
    register.note("decided", why, q=number, answer=answer)
    register.note_all(question.answers[answer], why or f"question {number}: {answer}")
    if (question.kind, answer) == (KIND, TAKE):
        put_in_place(register)
    register.draw_numbers()
    return question
