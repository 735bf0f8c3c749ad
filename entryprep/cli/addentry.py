"""``add entry``: which beer goes where; the category is asked for, or the likeliest are named."""

from __future__ import annotations

from collections.abc import Sequence

from entryprep.cli.adding import SUGGESTED, Wanted, needed, parted, tell, which
from entryprep.cli.asking import Asker
from entryprep.cli.boundary import UsageProblem
from entryprep.entering.adding import checked
from entryprep.entering.season import Season, category_of
from entryprep.records.shorthand import told
from entryprep.text import listed


def add_entry(words: Sequence[str], wanted: Wanted) -> None:
    """Append an entry to entries.yaml."""
    from entryprep.entering.planning.writing import write_entries
    from entryprep.records.entry import Entry

    places, fields = parted(words)
    if len(places) > 3:
        raise UsageProblem(f"{listed(places)}: too many words", "write: add entry BEER COMPETITION CATEGORY")
    season = needed(wanted.folder)
    data = dict(zip(("batch", "competition", "category"), places, strict=False))
    data |= told(Entry, fields)
    ask = wanted.asks(bool(data.get("category")))
    asker = Asker()
    for part, known in (("batch", season.batches), ("competition", season.competitions)):
        data[part] = which(part, data.get(part, ""), known, asker if ask else None)
    if not data.get("category"):
        data["category"] = _category(season, data["batch"], data["competition"], asker if ask else None)
    competition = season.competitions[data["competition"]]
    data["category"] = category_of(competition, data["category"]).code
    entry = checked(data, Entry, "entries.yaml")
    path = write_entries(
        season, [entry], again="nothing is to be added; `entryprep add value entries.yaml` changes an entry"
    )
    name = season.batches[entry.batch].name
    line = f"{name} is entered in {competition.name}, category {entry.category}."
    tell(wanted, [path], [line, "Next: entryprep check"])


def _category(season: Season, batch_id: str, competition_id: str, asker: Asker | None) -> str:
    """The category a beer goes to: asked for, or refused with the likeliest where nobody can be asked."""
    from entryprep.beer.category_ranking import rank_categories

    beer, competition = season.beer(batch_id), season.competitions[competition_id]
    answers = rank_categories(beer, competition, SUGGESTED) if beer is not None else []
    likely = [f"{a.category.code}  {a.category.name}, {a.share:.0%}" for a in answers if a.share > 0.01]
    if asker is None:
        first = answers[0].category.code if answers else competition.categories[0].code
        hint = "; ".join(" ".join(each.split()) for each in likely) or "none suits it by its vitals"
        raise UsageProblem(
            f"which category of {competition.name}?", f"{hint}: add entry {batch_id} {competition_id} {first}"
        )
    default = answers[0].category.code if likely else ""

    def take(answer: str) -> None:
        category_of(competition, answer)

    return asker.ask(f"Category of {competition.name}", "a number or a code", default, take, likely, needed=True)
