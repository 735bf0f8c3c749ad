"""``add``: beers, competitions, entries, numbers and single values, as the records that one could have written."""

from __future__ import annotations

import copy
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from entryprep.beer.beer import Beer
from entryprep.cli.asking import Asker, can_ask
from entryprep.cli.boundary import UsageProblem
from entryprep.cli.options import the_day
from entryprep.cli.show import console, paragraph, print_json
from entryprep.entering.adding import (
    add_record,
    addition_data,
    change_record,
    checked,
    id_of,
    new_file,
    numbered,
    season_place,
    take_recipe,
)
from entryprep.entering.season import Season, read_season
from entryprep.errors import EntryprepError
from entryprep.formats.draft import MAX_BYTES, ReadRecipe
from entryprep.formats.opening import read_recipe
from entryprep.quantities import KINDS, QuantityError
from entryprep.reading.files import read_content
from entryprep.reading.yamltext import RecordError
from entryprep.records.batch import Batch
from entryprep.records.competition import Competition
from entryprep.records.shorthand import bottles, path_of, put, said, told
from entryprep.records.stylenames import named, refused
from entryprep.records.wort import WortError, with_wort
from entryprep.tables.style import TRAITS
from entryprep.tables.styles import load_styles
from entryprep.text import either, listed, several
from entryprep.vitals import amount

KINDS_OF_RECORD = ("beer", "competition", "entry", "number", "value")
SUGGESTED = 3  # styles and categories that a question offers
_PLACEHOLDER = "This beer"


@dataclass(frozen=True)
class Wanted:
    """What a call of ``add`` gave beside its words."""

    folder: Path
    sheet: Path | None = None
    columns: Sequence[str] = ()
    recipe: str = ""
    ask: bool = False
    replace: bool = False
    as_json: bool = False

    def asks(self, given: bool) -> bool:
        """Whether questions are asked: when told to, and where little is given and somebody sits at a terminal."""
        return not self.as_json and (self.ask or (not given and can_ask()))


def run(what: str, words: Sequence[str], wanted: Wanted) -> None:
    """``entryprep add``."""
    if what not in _ADDERS:
        raise UsageProblem(f"add {what} is not known", f"add one of {', '.join(KINDS_OF_RECORD)}")
    if wanted.sheet is not None and what not in _SHEETS:
        raise UsageProblem(f"add {what} reads no sheet", f"--from goes with {either(tuple(_SHEETS))}")
    if wanted.as_json and wanted.ask:
        raise UsageProblem("--ask talks to you and --json to a program", "give one of them")
    season_place(wanted.folder)
    if wanted.sheet is not None:
        _SHEETS[what](words, wanted)
    else:
        _ADDERS[what](words, wanted)


def _tell(wanted: Wanted, files: Sequence[Path], lines: Sequence[str] = ()) -> None:
    if wanted.as_json:
        print_json({"season": wanted.folder.as_posix(), "files": [f.as_posix() for f in files], "told": list(lines)})
        return
    out = console()
    for path in files:
        out.print(paragraph(path.as_posix(), "bold"))
    for line in lines:
        out.print(paragraph(line))


def _season(folder: Path) -> Season | None:
    """The season of a folder as far as it can be read, or None where there is none yet."""
    try:
        return read_season(folder)[0]
    except RecordError:
        return None


# ---- a beer


@dataclass
class _Draft:
    """A record being put together, its answers checked as they come."""

    model: type[Batch] | type[Competition]
    data: dict[str, Any] = field(default_factory=dict)

    def take(self, word: str) -> Callable[[str], None]:
        """What takes an answer for a field into the record, or refuses it."""

        def taken(answer: str) -> None:
            trial = copy.deepcopy(self.data)
            put(trial, path_of(self.model, word), said(self.model, word, answer))
            probe = {"name": _PLACEHOLDER, **trial}
            if self.model is Competition:
                probe.setdefault("categories", [{"code": "1", "name": "All"}])
            checked(probe, self.model, "")
            self.data.clear()
            self.data.update(trial)

        return taken


def _add_beer(words: Sequence[str], wanted: Wanted) -> None:
    files, fields = [w for w in words if "=" not in w], [w for w in words if "=" in w]
    if len(files) > 1:
        raise UsageProblem(f"{listed(files)}: one recipe file at a time", "values have the form field=value")
    draft = _Draft(Batch)
    told(Batch, fields, draft.data)
    own_id = draft.data.pop("id", None)
    read, content = _recipe(Path(files[0]), wanted.recipe) if files else (None, b"")
    if read is not None:
        _from_recipe(draft.data, read)
    season = _season(wanted.folder)
    if wanted.asks(bool(fields)):
        _ask_beer(draft, Asker(), season, read)
    elif not draft.data.get("name"):
        raise UsageProblem("the beer has no name", 'write name="Night Ferry", or --ask for questions')
    record_id = str(own_id) if own_id else id_of(str(draft.data["name"]))
    new_file(wanted.folder, Batch, record_id)
    if read is not None:
        name = take_recipe(wanted.folder, Path(files[0]), content)
        draft.data["recipe"] = {"file": name, **({"name": wanted.recipe} if wanted.recipe else {})}
    batch = checked(draft.data, Batch, f"batches/{record_id}.yaml")
    _known_bottles(batch)
    beer = _beer_of(batch, season, read, record_id)
    path = add_record(wanted.folder, Batch, record_id, draft.data, _BEER_HEAD)
    _tell(wanted, [path], _beer_lines(beer, record_id))


_BEER_HEAD = "One beer; entries.yaml refers to it by the name of this file. `entryprep add value` adds to it."


def _recipe(path: Path, wanted: str) -> tuple[ReadRecipe, bytes]:
    return read_recipe(path, wanted or None), read_content(path, path.as_posix(), MAX_BYTES)


def _from_recipe(data: dict[str, Any], read: ReadRecipe) -> None:
    """What a recipe file says beside its ingredients; what was given in words outranks it."""
    batch = read.batch
    data.setdefault("name", batch.name)
    if batch.style and "style" not in data and named(load_styles(), batch.style).style is not None:
        data["style"] = batch.style
    traits = batch.traits.model_dump(exclude_none=True)
    if traits:
        data["traits"] = {**traits, **data.get("traits", {})}
    if batch.additions is not None and "additions" not in data:
        data["additions"] = [addition_data(addition) for addition in batch.additions]


def _beer_of(batch: Batch, season: Season | None, read: ReadRecipe | None, record_id: str) -> Beer | None:
    """The beer of a new record, recipe and wort read in; None where what it says cannot be of one beer."""
    if read is not None:
        batch = batch.model_copy(update={"recipe": read.batch.recipe})
    known = season.batches if season is not None else {}
    try:
        batch = with_wort(record_id, batch, known.get)
        return Beer.from_batch(batch, lookup=season.beer if season is not None else None)
    except WortError as error:
        raise UsageProblem(str(error), error.fix) from None
    except QuantityError as error:
        raise UsageProblem(f"these cannot be of one beer: {error}", error.fix) from None


def _beer_lines(beer: Beer | None, record_id: str) -> list[str]:
    lines = []
    if beer is not None and len(beer.vitals.known) > 1:
        lines.append(beer.placement.line)
        style = beer.style
        score = beer.fit(style).score if style is not None else None
        if style is not None and score is not None:
            lines.append(f"Declared as {style.name}: fit {score:.0f} of 100.")
    return [*lines, f"Next: entryprep add entry {record_id}"]


def _known_bottles(batch: Batch) -> None:
    from entryprep.tables.bottles import bottle_types
    from entryprep.text import did_you_mean

    for each in batch.bottles:
        if each.type not in bottle_types():
            hint = did_you_mean(each.type, list(bottle_types()), "bottle types")
            raise UsageProblem(f"there is no bottle type {each.type}", hint)


def _ask_beer(draft: _Draft, asker: Asker, season: Season | None, read: ReadRecipe | None) -> None:
    """Ask for what is not known yet, and only for what is needed to place the beer and to enter it."""
    data, last = draft.data, _last_beer(season)
    if read is not None or "name" not in data:
        named_so = str(data.pop("name", ""))
        asker.ask("What do you call the beer", default=named_so, take=draft.take("name"), needed=True)
    sofar = _so_far(draft, season, read)
    for vital, what in (("og", "Original gravity"), ("fg", "Final gravity"), ("ibu", "Bitterness"), ("srm", "Colour")):
        _ask_vital(draft, asker, vital, what, sofar)
    if "fermentation" not in data.get("traits", {}) and not (sofar is not None and sofar.inferred):
        kind = last.traits.fermentation if last is not None else None
        asker.ask("Fermentation", either(list(TRAITS["fermentation"])), kind or "ale", draft.take("fermentation"))
    if "additions" not in data:
        what = "Added beyond malt, hops, yeast and water"
        asker.ask(what, "2.4 kg cranberries, fermenter; or none", "none", draft.take("addition"))
    if "style" not in data:
        _ask_style(draft, asker, season, read)
    if "bottles" not in data:
        usual = last.bottles[0].type if last is not None and last.bottles else "longneck"

        def stock(answer: str) -> None:
            made = bottles(answer, usual)
            _known_bottles(checked({"name": _PLACEHOLDER, "bottles": made}, Batch, ""))
            data["bottles"] = made

        asker.ask("Bottles in the cellar", f"12 {usual}, 6 nip", take=stock)
    if "packaged" not in data.get("dates", {}):
        today = the_day("").isoformat() if data.get("bottles") else ""
        asker.ask("Packaged on", "year-month-day; - if not known", today, draft.take("packaged"))


def _ask_vital(draft: _Draft, asker: Asker, vital: str, what: str, sofar: Beer | None) -> None:
    part = path_of(Batch, vital)[0]
    if any(vital in draft.data.get(place, {}) for place in ("measured", "predicted")):
        return
    known = sofar.vitals.known.get(vital) if sofar is not None else None
    if known is not None and part == "predicted":
        return  # the recipe tells bitterness and colour better than a guess
    kind = {"og": "gravity", "fg": "gravity", "ibu": "bitterness", "srm": "colour"}[vital]
    usual = f"; Enter: {amount(vital, known.value)}, as the recipe says" if known is not None else ""
    asker.ask(what, f"{KINDS[kind].example}{usual}", take=draft.take(vital))


def _so_far(draft: _Draft, season: Season | None, read: ReadRecipe | None) -> Beer | None:
    """The beer as far as it is known, to ask by; None while nothing can be worked out."""
    try:
        return _beer_of(checked({"name": _PLACEHOLDER, **draft.data}, Batch, ""), season, read, "")
    except EntryprepError:
        return None


def _last_beer(season: Season | None) -> Batch | None:
    """The beer whose record was written last, for what is likely to be the same again."""
    if season is None or season.folder is None:
        return None
    files = {batch_id: season.folder / "batches" / f"{batch_id}.yaml" for batch_id in season.batches}
    there = {batch_id: path.stat().st_mtime_ns for batch_id, path in files.items() if path.is_file()}
    return season.batches[max(there, key=lambda b: (there[b], b))] if there else None


def _ask_style(draft: _Draft, asker: Asker, season: Season | None, read: ReadRecipe | None) -> None:
    beer = _so_far(draft, season, read)
    table = season.table if season is not None else load_styles()
    likely: list[tuple[str, float]] = []
    if beer is not None and len(beer.vitals.known) > 1:
        likely = [(style.name, share) for style, share in beer.ranking.shares[:SUGGESTED]]

    def take(answer: str) -> None:
        found = named(table, answer)
        if found.style is None:
            raise refused(found, table)
        draft.take("style")(found.style.name)

    choices = [f"{name}  {share:.0%}" for name, share in likely]
    asker.ask("Style", "a number, a name, or - to leave it open", likely[0][0] if likely else "", take, choices)
    style = named(table, str(draft.data.get("style", ""))).style
    if style is not None and style.specialty and not style.ranges and "base" not in draft.data:
        asker.ask("Its base style", "such as blonde ale", take=draft.take("base"))


# ---- a competition

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


def _add_competition(words: Sequence[str], wanted: Wanted) -> None:
    draft = _Draft(Competition)
    told(Competition, words, draft.data)
    own_id = draft.data.pop("id", None)
    if wanted.asks(bool(words)):
        _ask_competition(draft, Asker())
    for field_name, example in (("name", 'name="Harbour Cup"'), ("categories", 'category="A1 Bitters and milds"')):
        if not draft.data.get(field_name):
            missing = "no name" if field_name == "name" else "no category"
            raise UsageProblem(f"the competition has {missing}", f"write {example}, or --ask for questions")
    _write_competition(draft.data, own_id, wanted)


def _write_competition(data: Mapping[str, Any], own_id: Any, wanted: Wanted) -> None:
    record_id = str(own_id) if own_id else id_of(str(data["name"]))
    path = add_record(wanted.folder, Competition, record_id, data, _COMPETITION_HEAD)
    count = several(len(data["categories"]), "category", "categories")
    _tell(wanted, [path], [f"{data['name']}: {count}.", f"Next: entryprep add entry BEER {record_id}"])


def _ask_competition(draft: _Draft, asker: Asker) -> None:
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


# ---- entries and numbers


def _add_entry(words: Sequence[str], wanted: Wanted) -> None:
    from entryprep.entering.planning.writing import write_entries
    from entryprep.records.entry import Entry

    places, fields = [w for w in words if "=" not in w], [w for w in words if "=" in w]
    if len(places) > 3:
        raise UsageProblem(f"{listed(places)}: too many words", "write: add entry BEER COMPETITION CATEGORY")
    season = _needed_season(wanted.folder)
    data = dict(zip(("batch", "competition", "category"), places, strict=False))
    data |= told(Entry, fields)
    ask = wanted.asks(bool(data.get("category")))
    asker = Asker()
    for part, known in (("batch", season.batches), ("competition", season.competitions)):
        data[part] = _which(part, data.get(part, ""), known, asker if ask else None)
    if not data.get("category"):
        data["category"] = _category(season, data["batch"], data["competition"], asker if ask else None)
    competition = season.competitions[data["competition"]]
    codes = {c.code.casefold(): c.code for c in competition.categories}
    if data["category"].casefold() not in codes:
        known_codes = f"its categories: {listed(codes.values(), 20)}"
        raise UsageProblem(f"{competition.name} has no category {data['category']}", known_codes)
    data["category"] = codes[data["category"].casefold()]
    entry = checked(data, Entry, "entries.yaml")
    path = write_entries(
        season, [entry], again="nothing is to be added; `entryprep add value entries.yaml` changes an entry"
    )
    name = season.batches[entry.batch].name
    line = f"{name} is entered in {competition.name}, category {entry.category}."
    _tell(wanted, [path], [line, "Next: entryprep check"])


def _needed_season(folder: Path) -> Season:
    season, _ = read_season(folder)
    return season


def _which(part: str, given: str, known: Mapping[str, Any], asker: Asker | None) -> str:
    """A batch or a competition by its id, or by its name; the only one there is where none is said."""
    what = "beer" if part == "batch" else part
    if not known:
        raise UsageProblem(f"the season holds no {what} that can be read", f"`entryprep add {what}` adds one")
    names = {record.name.casefold(): record_id for record_id, record in known.items()}

    def found(answer: str) -> str:
        record_id = answer if answer in known else names.get(answer.casefold(), "")
        if not record_id:
            raise UsageProblem(f"there is no {what} {answer}", f"there are {listed(known, 12)}")
        return record_id

    if given:
        return found(given)
    if len(known) == 1:
        return next(iter(known))
    if asker is None:
        raise UsageProblem(f"which {what}?", f"name one of {listed(known, 12)}")
    return found(asker.ask(f"Which {what}", take=lambda a: [found(a)].clear(), choices=list(known), needed=True))


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
    codes = {c.code.casefold() for c in competition.categories}

    def take(answer: str) -> None:
        if answer.casefold() not in codes:
            raise UsageProblem(
                f"{competition.name} has no category {answer}",
                listed([f"{c.code} {c.name}" for c in competition.categories], 20),
            )

    return asker.ask(f"Category of {competition.name}", "a number or a code", default, take, likely, needed=True)


def _add_number(words: Sequence[str], wanted: Wanted) -> None:
    season = _needed_season(wanted.folder)
    places, fields = [w for w in words if "=" not in w], [w for w in words if "=" in w]
    competition = _which("competition", places[0] if places else "", season.competitions, None)
    if not fields:
        own = [e.batch_id for e in season.entered if e.competition_id == competition and not e.entry.number]
        raise UsageProblem(
            "no number was given", f"write BEER=NUMBER: {own[0] if own else 'night-ferry'}=1047, or --from a sheet"
        )
    pairs = {name.strip(): number.strip() for name, _, number in (word.partition("=") for word in fields)}
    path = numbered(season, competition, pairs, wanted.replace)
    name = season.competitions[competition].name
    _tell(wanted, [path], [f"{name}: {several(len(pairs), 'number')} in entries.yaml.", "Next: entryprep labels"])


def _add_value(words: Sequence[str], wanted: Wanted) -> None:
    from entryprep.entering.adding import record_type

    files, fields = [w for w in words if "=" not in w], [w for w in words if "=" in w]
    if len(files) != 1 or not fields:
        raise UsageProblem(
            "a value needs a record and field=value", "write: add value batches/night-ferry.yaml fg=1.012"
        )
    file = files[0]
    model = record_type(file)
    values = []
    for word in fields:
        name, _, value = word.partition("=")
        values.append((path_of(model, name), said(model, name.strip(), value.strip())))
    path = change_record(wanted.folder, file, values, wanted.replace)
    _tell(wanted, [path], [f"{several(len(values), 'value')} written; all else stays as it was."])


def _beers_of_sheet(words: Sequence[str], wanted: Wanted) -> None:
    from entryprep.cli.addsheets import add_beers

    add_beers(words, wanted, _tell)


def _categories_of_sheet(words: Sequence[str], wanted: Wanted) -> None:
    from entryprep.cli.addsheets import categories

    data = told(Competition, words)
    own_id = data.pop("id", None)
    if not data.get("name"):
        raise UsageProblem("the competition has no name", 'write name="Harbour Cup"')
    data["categories"] = [*data.get("categories", []), *categories(wanted)]
    _write_competition(data, own_id, wanted)


def _numbers_of_sheet(words: Sequence[str], wanted: Wanted) -> None:
    from entryprep.cli.addsheets import numbers

    season = _needed_season(wanted.folder)
    competition = _which("competition", words[0] if words else "", season.competitions, None)
    pairs = numbers(wanted, season, competition)
    path = numbered(season, competition, pairs, wanted.replace)
    name = season.competitions[competition].name
    _tell(wanted, [path], [f"{name}: {several(len(pairs), 'number')} in entries.yaml.", "Next: entryprep labels"])


_Adder = Callable[[Sequence[str], Wanted], None]
_ADDERS: Mapping[str, _Adder] = {
    "beer": _add_beer,
    "competition": _add_competition,
    "entry": _add_entry,
    "number": _add_number,
    "value": _add_value,
}
_SHEETS: Mapping[str, _Adder] = {
    "beer": _beers_of_sheet,
    "competition": _categories_of_sheet,
    "number": _numbers_of_sheet,
}
