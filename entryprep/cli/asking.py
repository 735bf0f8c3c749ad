"""Questions one at a time: what is wanted, in which unit, what Enter takes; an answer that cannot be is asked again."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence

from entryprep.cli.boundary import UsageProblem
from entryprep.cli.show import clean
from entryprep.errors import EntryprepError

MOST_TRIES = 5
NOTHING = "-"
HOW = "Enter takes what stands in [ ], or leaves the question open; - leaves it open too."


class Asker:
    """Asks on stderr and reads from stdin, a line for each answer; ``asked`` counts the questions."""

    def __init__(self) -> None:
        self.asked = 0
        self.ended = False

    def ask(
        self,
        what: str,
        example: str = "",
        default: str = "",
        take: Callable[[str], None] = lambda _: None,
        choices: Sequence[str] = (),
        needed: bool = False,
    ) -> str:
        """The answer to one question. Enter takes ``default``, ``-`` leaves it out, a number one of ``choices``.

        ``take`` is given the answer and refuses it by raising EntryprepError; then it is asked again. Where input ends,
        the defaults are taken. Raises UsageProblem where an answer is ``needed`` and none comes.
        """
        if not self.asked:
            self._say(HOW)
        self.asked += 1
        for number, choice in enumerate(choices, 1):
            self._say(f"  {number}  {choice}")
        hint = f" ({example})" if example else ""
        usual = f" [{default}]" if default else ""
        for _ in range(MOST_TRIES):
            answer = self._line(f"{what}{hint}{usual}: ") or default
            if answer.isdigit() and 1 <= int(answer) <= len(choices):
                answer = choices[int(answer) - 1].partition("  ")[0]
            if answer == NOTHING:
                answer = ""
            if not answer:
                if not needed:
                    return ""
                self._say("  An answer is needed here.")
            else:
                try:
                    take(answer)
                except EntryprepError as error:
                    self._say(f"  {_why_not(error)}")
                else:
                    return answer
            if self.ended:
                break
        raise UsageProblem(f"no answer to: {what}", "run it again; nothing was written")

    def _line(self, prompt: str) -> str:
        sys.stderr.write(clean(prompt))
        sys.stderr.flush()
        line = "" if self.ended or sys.stdin is None else sys.stdin.readline()
        if not line:
            self.ended = True
        return line.strip()

    def _say(self, text: str) -> None:
        print(clean(text), file=sys.stderr)


def _why_not(error: EntryprepError) -> str:
    """What is wrong with an answer; it stands in no file, so that no place is named."""
    first = next(iter(getattr(error, "findings", ())), None)
    what, fix = (first.what, first.fix) if first is not None else (str(error), error.fix)
    return f"{what}{f'; {fix}' if fix else ''}"


def can_ask() -> bool:
    """Whether somebody sits at a terminal to answer."""
    return sys.stdin is not None and sys.stdin.isatty()
