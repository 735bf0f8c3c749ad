"""``add competition``: from words and questions, its categories also from a sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from entryprep.cli.adding import Draft, Wanted, tell
from entryprep.cli.asking import Asker
from entryprep.cli.boundary import UsageProblem
from entryprep.entering.adding import add_record, id_of
from entryprep.records.competition import Competition
from entryprep.records.shorthand import path_of, told
from entryprep.text import several

_COMPETITION_QUESTIONS = (
    ("country", "Country", "Norway, US …: its name or ISO 3166 code"),
    ("state", "State or province", "Oregon, WA …; - if none"),
    ("registration", "Registration closes", "2027-02-28, or 2027-02-01 to 2027-02-28"),
    ("delivery", "Bottles are received", "2027-03-01 to 2027-03-13"),
    ("judging", "First day of judging", "2027-03-20"),
    ("bottles", "Bottles of each entry", "2"),
    ("per_brewer", "Entries of one brewer at most", "Enter: no limit"),
    ("fee", "Fee of an entry", "10 USD; Enter: none"),
)
_USUAL = {"bottles": "2"}
_COMPETITION_HEAD = (
    "One competition; entries.yaml refers to it by the name of this file. What is left out is not checked."
)


def add_competition(words: Sequence[str], wanted: Wanted) -> None:
    """Write the record of a competition."""
    draft = Draft(Competition)
    told(Competition, words, draft.data)
    own_id = draft.data.pop("id", None)
    if wanted.asks(bool(words)):
        _ask_competition(draft, Asker())
    for field_name, example in (("name", 'name="Harbour Cup"'), ("categories", 'category="A1 Bitters and milds"')):
        if not draft.data.get(field_name):
            missing = "no name" if field_name == "name" else "no category"
            raise UsageProblem(f"the competition has {missing}", f"write {example}, or --ask for questions")
    write_competition(draft.data, own_id, wanted)


def write_competition(data: Mapping[str, Any], own_id: Any, wanted: Wanted) -> None:
    """Write a competition that is complete, and say what it has."""
    record_id = str(own_id) if own_id else id_of(str(data["name"]))
    path = add_record(wanted.folder, Competition, record_id, data, _COMPETITION_HEAD)
    count = several(len(data["categories"]), "category", "categories")
    tell(wanted, [path], [f"{data['name']}: {count}.", f"Next: entryprep add entry BEER {record_id}"])


def _ask_competition(draft: Draft, asker: Asker) -> None:
    data = draft.data
    if "name" not in data:
        asker.ask("What is the competition called", take=draft.take("name"), needed=True)
    for word, what, example in _COMPETITION_QUESTIONS:
        here: Any = data
        for step in path_of(Competition, word):
            here = here.get(step) if isinstance(here, dict) else None
        if here is None:
            asker.ask(what, example, _USUAL.get(word, ""), draft.take(word))
    if "categories" not in data:
        example = "A1 Bitters and milds; Enter ends"
        while asker.ask(
            "A category: code and name", example, take=draft.take("category"), needed="categories" not in data
        ):
            example = "Enter ends"
