"""``add beer``: from words, a recipe file and questions; of these only what the rest does not tell."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from entryprep.beer.beer import Beer
from entryprep.cli.adding import PLACEHOLDER, SUGGESTED, Draft, Wanted, parted, readable, tell
from entryprep.cli.asking import Asker
from entryprep.cli.boundary import UsageProblem
from entryprep.cli.options import the_day
from entryprep.entering.adding import add_record, addition_data, checked, id_of, new_file, take_recipe
from entryprep.entering.season import Season
from entryprep.errors import EntryprepError
from entryprep.formats.draft import MAX_BYTES, ReadRecipe
from entryprep.formats.opening import read_recipe
from entryprep.quantities import KINDS, QuantityError, parse
from entryprep.reading.files import read_content
from entryprep.records.batch import Batch
from entryprep.records.shorthand import bottles, path_of, told
from entryprep.records.stylenames import named, refused
from entryprep.records.wort import WortError, with_wort
from entryprep.tables.bottles import known_type
from entryprep.tables.rules import rules
from entryprep.tables.style import TRAITS
from entryprep.tables.styles import load_styles
from entryprep.text import either, fold, listed
from entryprep.vitals import amount

LEAST_OG = 1.010  # below it an original gravity is a slip: the weakest beers begin above (common practice)


def add_beer(words: Sequence[str], wanted: Wanted) -> None:
    """Write the record of a beer."""
    files, fields = parted(words)
    if len(files) > 1:
        raise UsageProblem(f"{listed(files)}: one recipe file at a time", "values have the form field=value")
    draft = Draft(Batch)
    told(Batch, fields, draft.data)
    own_id = draft.data.pop("id", None)
    read, content = _recipe(Path(files[0]), wanted.recipe) if files else (None, b"")
    if read is not None:
        _from_recipe(draft.data, read)
    season = readable(wanted.folder)
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
    for each in batch.bottles:
        known_type(each.type)
    beer = _beer_of(batch, season, read, record_id)
    path = add_record(wanted.folder, Batch, record_id, draft.data, _BEER_HEAD)
    tell(wanted, [path], _beer_lines(beer, record_id, season))


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


def _beer_lines(beer: Beer | None, record_id: str, season: Season | None) -> list[str]:
    lines = []
    if beer is not None and len(beer.vitals.known) > 1:
        lines.append(beer.placement.line)
        style = beer.style
        score = beer.fit(style).score if style is not None else None
        if style is not None and score is not None:
            lines.append(f"Declared as {style.name}: fit {score:.0f} of 100.")
    return [*lines, *_starter_left(season), f"Next: entryprep add entry {record_id}"]


def _starter_left(season: Season | None) -> list[str]:
    """Records that `start` laid out as examples and that nobody has filled in: check, chart and plan count them."""
    if season is None:
        return []
    words = rules().starter_words
    left = [f"batches/{b}.yaml" for b, batch in season.batches.items() if fold(batch.name) in words]
    left += [f"competitions/{c}.yaml" for c, cup in season.competitions.items() if fold(cup.name) in words]
    if not left:
        return []
    return [f"Still the starter's examples, which count as yours: fill in or remove {listed(left)} and their entries."]


def _ask_beer(draft: Draft, asker: Asker, season: Season | None, read: ReadRecipe | None) -> None:
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
        what = "Fruit, spice, sugar or wood"
        asker.ask(what, "such as 2.4 kg cranberries, fermenter", "none", draft.take("addition"))
    if "style" not in data:
        _ask_style(draft, asker, season, read)
    if "bottles" not in data:
        usual = last.bottles[0].type if last is not None and last.bottles else "longneck"

        def stock(answer: str) -> None:
            made = bottles(answer, usual)
            for each in checked({"name": PLACEHOLDER, "bottles": made}, Batch, "").bottles:
                known_type(each.type)
            data["bottles"] = made

        asker.ask("Bottles in the cellar", f"such as 12 {usual}, 6 nip", take=stock)
    if "packaged" not in data.get("dates", {}):
        today = the_day("").isoformat() if data.get("bottles") else ""
        asker.ask("Packaged on", "year-month-day; - if not known", today, draft.take("packaged"))


def _ask_vital(draft: Draft, asker: Asker, vital: str, what: str, sofar: Beer | None) -> None:
    part = path_of(Batch, vital)[0]
    if any(vital in draft.data.get(place, {}) for place in ("measured", "predicted")):
        return
    known = sofar.vitals.known.get(vital) if sofar is not None else None
    if known is not None and part == "predicted":
        return  # the recipe tells bitterness and colour better than a guess
    kind = {"og": "gravity", "fg": "gravity", "ibu": "bitterness", "srm": "colour"}[vital]
    usual = f"; Enter: {amount(vital, known.value)}, as the recipe says" if known is not None else ""

    def take(answer: str) -> None:
        if vital == "og" and parse(answer, "gravity") < LEAST_OG:
            raise QuantityError(f"{answer} is water, or nearly", "write the gravity before fermentation, such as 1.052")
        draft.take(vital)(answer)

    asker.ask(what, f"such as {KINDS[kind].example}{usual}", take=take)


def _so_far(draft: Draft, season: Season | None, read: ReadRecipe | None) -> Beer | None:
    """The beer as far as it is known, to ask by; None while nothing can be worked out."""
    try:
        return _beer_of(checked({"name": PLACEHOLDER, **draft.data}, Batch, ""), season, read, "")
    except EntryprepError:
        return None


def _last_beer(season: Season | None) -> Batch | None:
    """The beer whose record was written last, for what is likely to be the same again."""
    if season is None or season.folder is None:
        return None
    files = {batch_id: season.folder / "batches" / f"{batch_id}.yaml" for batch_id in season.batches}
    there = {batch_id: path.stat().st_mtime_ns for batch_id, path in files.items() if path.is_file()}
    return season.batches[max(there, key=lambda b: (there[b], b))] if there else None


def _ask_style(draft: Draft, asker: Asker, season: Season | None, read: ReadRecipe | None) -> None:
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
    if style is not None and style.follows_base and "base" not in draft.data:
        asker.ask("Its base style", "such as blonde ale", take=draft.take("base"))
