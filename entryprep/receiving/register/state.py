"""What stands in a register: the fold of its journal, change by change, the same for the same journal."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from entryprep.receiving.declaration import row_texts
from entryprep.receiving.register.identity import Evidence, evidence
from entryprep.receiving.register.journal import Change
from entryprep.text import fold, name_key

ENTERED, ARRIVED, WITHDRAWN, ABSENT, BROKEN = "entered", "arrived", "withdrawn", "not arrived", "broken"
STANDINGS = (ENTERED, ARRIVED, WITHDRAWN, ABSENT, BROKEN)
"""How an entry stands; the first two are poured."""
HELD_BACK = "held back"
OUT = frozenset({WITHDRAWN, ABSENT, BROKEN})
# fields that no judge reads and that move no beer to another flight
UNSEEN = frozenset(
    {
        "entry",
        "brewer",
        "contact",
        "beer",
        "sent",
        "bottles",
        "condition",
        "packaging",
        "brewed",
        "packaged",
        "received",
    }
)


@dataclass(frozen=True)
class Form:
    """The columns of a form: their names, and which of them is read as which field, and how."""

    header: tuple[str, ...]
    columns: tuple[tuple[int, str, str], ...]

    @cached_property
    def fields(self) -> tuple[tuple[str, int], ...]:
        """The fields with their columns."""
        return tuple({name: column for column, name, _ in self.columns}.items())


@dataclass
class Entry:
    """One entry: ``cells`` as its form has them, ``moved`` what the register says otherwise, by field.

    ``number`` is its blind number, ``numbers`` all it ever had; ``seen`` the change that last touched what judges read
    or whether it is poured, ``touched`` the last change of any kind; ``files`` the forms in which it stands now,
    ``outdated`` digests of rows that were decided to be earlier words of it. ``seen_in`` is ``seen`` as it is while the
    entry is poured. ``held`` is what it names that is dangerous to drink, while nobody has decided; ``cleared`` what a
    steward decided may be poured.
    """

    id: str
    known: Evidence
    form: str
    cells: tuple[str, ...]
    standing: str = ENTERED
    number: str = ""
    numbers: list[str] = field(default_factory=list)
    moved: dict[str, str] = field(default_factory=dict)
    files: set[str] = field(default_factory=set)
    outdated: set[str] = field(default_factory=set)
    late: bool = False
    seen: int = 0
    seen_in: int = 0
    touched: int = 0
    held: str = ""
    cleared: str = ""

    @property
    def poured(self) -> bool:
        """Whether it is judged, as far as is known."""
        return self.standing not in OUT and not self.held

    @property
    def stands(self) -> str:
        """How it stands, for people: held back, or its standing."""
        return HELD_BACK if self.held and self.standing not in OUT else self.standing


@dataclass
class Question:
    """Something to decide: the rule it is told by, the values of its words, and what each answer would change."""

    q: int
    kind: str
    key: str
    values: Mapping[str, Any]
    answers: Mapping[str, Sequence[Mapping[str, Any]]]
    about: str = ""
    file: str = ""
    row: int = 0
    case: str = ""
    answer: str = ""


@dataclass
class SeatedJudge:
    """A judge as a sheet names one, texts by field; ``gone`` is the flight after which the judge left (0: before the
    first; -1: is there), ``came`` the change by which the judge is there. ``listed`` while a sheet names the judge, and
    ``dropped`` where the judge is gone because it no longer does."""

    name: str
    texts: dict[str, str]
    gone: int = -1
    came: int = 0
    listed: bool = True
    dropped: bool = False

    @property
    def there(self) -> bool:
        """Whether the judge is there to the end."""
        return self.gone < 0


@dataclass
class State:
    """Everything that stands in a register; ``competition`` has the ``name`` and the ``text`` of its file,
    and ``looked`` is the number of its last version that the printed flights were held against."""

    opened: bool = False
    competition: dict[str, Any] = field(default_factory=dict)
    looked: int = 0
    seed: str = ""
    settings: dict[str, Any] = field(default_factory=dict)
    forms: dict[str, Form] = field(default_factory=dict)
    files: dict[str, dict[str, Any]] = field(default_factory=dict)
    entries: dict[str, Entry] = field(default_factory=dict)
    owners: dict[str, str] = field(default_factory=dict)
    questions: dict[int, Question] = field(default_factory=dict)
    asked: dict[str, int] = field(default_factory=dict)
    judges: dict[str, SeatedJudge] = field(default_factory=dict)
    flights: dict[int, dict[str, Any]] = field(default_factory=dict)
    printings: list[dict[str, Any]] = field(default_factory=list)
    scores: dict[tuple[str, str], dict[str, Any]] = field(default_factory=dict)
    entrants: dict[str, str] = field(default_factory=dict)
    index: dict[tuple[str, str, str], list[str]] = field(default_factory=dict)
    last: int = 0
    at: str = ""

    def apply(self, change: Change) -> None:
        """Take one change in. Kinds that are not known here are only counted: a later version may know more."""
        self.last, self.at = change.n, change.at
        act = _ACTS.get(change.what)
        if act is not None:
            act(self, change.n, change.said)
            entry = self.entries.get(str(change.said.get("entry", "")))
            if entry is not None:
                entry.touched = change.n
                if change.what in _SEEN:
                    entry.seen = entry.seen_in = change.n

    def texts(self, entry: Entry) -> dict[str, str]:
        """What is declared of an entry by field, as it stands now."""
        return {**row_texts(self.forms[entry.form].fields, entry.cells), **entry.moved}

    def had(self, kind: str, one: str, other: str) -> list[Entry]:
        """Entries that have, or once had, something that identifies them: ``number`` (of a club), ``beer``, ``sent``
        (of a person), ``words``."""
        return [self.entries[each] for each in self.index.get((kind, one, other), ())]

    def open_questions(self) -> list[Question]:
        """What is still to be decided, in the order it was asked."""
        return [question for question in self.questions.values() if not question.answer]

    def poured(self) -> list[Entry]:
        """Entries that are judged, in the order they came."""
        return [entry for entry in self.entries.values() if entry.poured]

    def free_name(self, name: str) -> str:
        """A name for an entry that no other has."""
        turn, free = 1, name
        while free in self.entries:
            turn += 1
            free = f"{name} ({turn})"
        return free


def fold_changes(changes: Iterable[Change]) -> State:
    """What stands after these changes."""
    state = State()
    for change in changes:
        state.apply(change)
    return state


def _opened(state: State, _n: int, _said: Mapping[str, Any]) -> None:
    state.opened = True


def _competition(state: State, n: int, said: Mapping[str, Any]) -> None:
    state.competition = {"name": said["name"], "text": said["text"], "n": n}


def _seeded(state: State, _n: int, said: Mapping[str, Any]) -> None:
    state.seed = said["seed"]


def _settings(state: State, _n: int, said: Mapping[str, Any]) -> None:
    state.settings = dict(said["settings"])


def _columns(state: State, _n: int, said: Mapping[str, Any]) -> None:
    columns = tuple((int(c), str(name), str(how)) for c, name, how in said["columns"])
    state.forms[said["form"]] = Form(tuple(said["header"]), columns)


def _form(state: State, n: int, said: Mapping[str, Any]) -> None:
    name = said["file"]
    state.files[name] = {"club": said.get("club", ""), "digest": said.get("digest", ""), "n": n}
    for entry in said.get("new", ()):
        state.entries[entry].files.add(name)


def _vanished(state: State, _n: int, said: Mapping[str, Any]) -> None:
    state.entries[said["entry"]].files.difference_update(said["files"])


def _entered(state: State, n: int, said: Mapping[str, Any]) -> None:
    entry = Entry(said["entry"], _known(state, said), said["form"], tuple(said["cells"]))
    entry.late = bool(state.printings)
    entry.seen = entry.seen_in = n
    entry.files.update({said["file"]} if "file" in said else ())
    state.entries[entry.id] = entry
    _index(state, entry)


def _declared(state: State, n: int, said: Mapping[str, Any]) -> None:
    entry = state.entries[said["entry"]]
    entry.outdated.update({entry.known.words} if said.get("instead") else ())
    entry.form, entry.cells = said["form"], tuple(said["cells"])
    entry.known = _known(state, said)
    if set(said.get("fields", ())) - UNSEEN - set(entry.moved):
        entry.seen = entry.seen_in = n
    _index(state, entry)


def _known(state: State, said: Mapping[str, Any]) -> Evidence:
    form, cells = state.forms[said["form"]], said["cells"]
    return evidence(form.fields, tuple(cells), said.get("club", ""))


def _index(state: State, entry: Entry) -> None:
    known = entry.known
    keys = [("number", known.club, known.number)] if known.number else []
    keys += [("beer", person, known.beer) for person in known.people if known.beer]
    keys += [("sent", person, known.sent) for person in known.people if known.sent]
    for key in (*keys, ("words", "", known.words)):
        ids = state.index.setdefault(key, [])
        if entry.id not in ids:
            ids.append(entry.id)


def _numbered(state: State, _n: int, said: Mapping[str, Any]) -> None:
    entry, number = state.entries[said["entry"]], said["number"]
    if state.owners.setdefault(number, entry.id) == entry.id:  # nothing issued changes its owner, whatever a line says
        entry.number = number
        if number not in entry.numbers:
            entry.numbers.append(number)


def _stands(standing: str) -> Callable[[State, int, Mapping[str, Any]], None]:
    def act(state: State, n: int, said: Mapping[str, Any]) -> None:
        entry = state.entries[said["entry"]]
        entry.standing = standing
        entry.seen = entry.seen_in if entry.poured else n

    return act


def _held(state: State, n: int, said: Mapping[str, Any]) -> None:
    entry = state.entries[said["entry"]]
    entry.held, entry.seen = said["words"], n


def _cleared(state: State, n: int, said: Mapping[str, Any]) -> None:
    entry = state.entries[said["entry"]]
    entry.held, entry.cleared = "", said["words"]
    entry.seen = entry.seen_in if entry.poured else n


def _moved(state: State, _n: int, said: Mapping[str, Any]) -> None:
    state.entries[said["entry"]].moved.update(said["to"])


def _unmoved(state: State, _n: int, said: Mapping[str, Any]) -> None:
    for name in said["fields"]:
        state.entries[said["entry"]].moved.pop(name, None)


def _asked(state: State, _n: int, said: Mapping[str, Any]) -> None:
    names = ("q", "kind", "key", "values", "answers", "about", "file", "row", "case")
    question = Question(**{name: said[name] for name in names if name in said})
    state.questions[question.q] = question
    state.asked[question.key] = question.q


def _decided(state: State, _n: int, said: Mapping[str, Any]) -> None:
    state.questions[said["q"]].answer = said["answer"]


def _alike(state: State, _n: int, said: Mapping[str, Any]) -> None:
    one, other = (_entrant(state, fold(name)) for name in said["names"])
    if one != other:
        state.entrants[other] = one


def _entrant(state: State, name: str) -> str:
    while name in state.entrants:
        name = state.entrants[name]
    return name


def _judge(state: State, n: int, said: Mapping[str, Any]) -> None:
    key = name_key(said["judge"])
    known = state.judges.get(key, SeatedJudge("", {}, came=n))
    listed = bool(said.get("listed", True))
    texts = dict(said.get("texts", {}))
    state.judges[key] = SeatedJudge(said["judge"], texts, known.gone, known.came, listed, known.dropped)


def _judge_gone(state: State, _n: int, said: Mapping[str, Any]) -> None:
    judge = state.judges[name_key(said["judge"])]
    judge.gone, judge.dropped = said.get("after", 0), bool(said.get("dropped"))
    judge.listed = judge.listed and not judge.dropped


def _judge_back(state: State, n: int, said: Mapping[str, Any]) -> None:
    judge = state.judges[name_key(said["judge"])]
    judge.gone, judge.came, judge.dropped = -1, n, False


def _printed(state: State, n: int, said: Mapping[str, Any]) -> None:
    state.printings.append({**said, "n": n})
    for flight in said["flights"]:
        state.flights[flight["flight"]] = {**flight, "printing": said["printing"], "n": n, "at": state.at}


def _looked(state: State, _n: int, said: Mapping[str, Any]) -> None:
    state.looked = said["competition"]


def _scored(state: State, n: int, said: Mapping[str, Any]) -> None:
    key = (said["entry"], name_key(said["judge"]))
    state.scores[key] = {**said, "n": n}


_ACTS: dict[str, Callable[[State, int, Mapping[str, Any]], None]] = {
    "opened": _opened,
    "competition": _competition,
    "seeded": _seeded,
    "settings": _settings,
    "columns": _columns,
    "form": _form,
    "vanished": _vanished,
    "entered": _entered,
    "declared": _declared,
    "numbered": _numbered,
    "withdrawn": _stands(WITHDRAWN),
    "absent": _stands(ABSENT),
    "broken": _stands(BROKEN),
    "arrived": _stands(ARRIVED),
    "reentered": _stands(ENTERED),
    "held": _held,
    "cleared": _cleared,
    "moved": _moved,
    "unmoved": _unmoved,
    "asked": _asked,
    "decided": _decided,
    "alike": _alike,
    "judge": _judge,
    "judge-gone": _judge_gone,
    "judge-back": _judge_back,
    "printed": _printed,
    "looked": _looked,
    "scored": _scored,
}
_SEEN = frozenset({"numbered", "moved", "unmoved"})
