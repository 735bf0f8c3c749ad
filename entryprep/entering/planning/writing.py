"""A plan kept as entries: appended to entries.yaml, of which every byte that stands there stays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import yaml

from entryprep.entering.bottles import allocate, bottle_objections, needed
from entryprep.entering.planning.candidates import Candidate
from entryprep.entering.planning.dates import way_to
from entryprep.entering.season import Entered, Season
from entryprep.output import OutputError, replace_file, write_new
from entryprep.reading.files import read_content
from entryprep.reading.validate import validate
from entryprep.reading.yamltext import MAX_BYTES, RecordError, parse_yaml
from entryprep.reading.yamlwriting import scalar
from entryprep.records.bottles import Bottle, filled
from entryprep.records.entry import Entry, EntryList
from entryprep.tables.bottles import bottle_types

NAME = "entries.yaml"


def planned_entries(season: Season, chosen: Sequence[Candidate]) -> list[Entry]:
    """The entries of a plan, by competition, batch and category; a style stands there where it is not the batch's."""
    return [
        Entry(
            batch=each.batch_id,
            competition=each.competition_id,
            category=each.category,
            style=None if each.own_style else each.style,
            way=way_to(season, each.competition_id),
        )
        for each in chosen
    ]


def with_entries(season: Season, entries: Sequence[Entry]) -> Season:
    """The season as it would be with these entries appended; nothing is written."""
    made = list(season.entered)
    for index, entry in enumerate(entries, _places(season)):
        competition = season.competitions[entry.competition]
        category = next(c for c in competition.categories if c.code == entry.category)
        batch = season.batches[entry.batch]
        made.append(Entered(index, entry, entry.batch, batch, entry.competition, competition, category))
    return replace(season, entered=made)


def _places(season: Season) -> int:
    """How many entries stand in the file, those among them that lead nowhere."""
    document = season.documents.get(NAME)
    written = document.data.get("entries") if document is not None and isinstance(document.data, dict) else None
    last = season.entered[-1].index + 1 if season.entered else 0
    return max(last, len(written) if isinstance(written, list) else 0)


def packable(season: Season, chosen: Sequence[Candidate]) -> list[Entry]:
    """The entries of a plan in an order in which the packing list finds bottles for every one of them.

    That is the plan's own order, or else those first that may use the fewest kinds of bottle.
    """

    def strictness(each: Candidate) -> int:
        objections = (bottle_objections(b, season.competitions[each.competition_id].bottles) for b in kinds(each))
        return sum(not each for each in objections)

    def kinds(each: Candidate) -> list[Bottle]:
        known = bottle_types()
        return [filled(bottles) for bottles in season.batches[each.batch_id].bottles if bottles.type in known]

    for order in (list(chosen), sorted(chosen, key=strictness)):
        entries = planned_entries(season, order)
        if not short_of_bottles(season, entries):
            return entries
    return planned_entries(season, chosen)


def short_of_bottles(season: Season, entries: Sequence[Entry]) -> list[Entry]:
    """The entries for which the packing list, which fills one entry after the other, would not find all bottles."""
    made = with_entries(season, entries)
    takes = allocate(made)
    new = made.entered[len(season.entered) :]
    return [e.entry for e in new if sum(take.count for take in takes[e.index]) < needed(e)]


def write_entries(season: Season, entries: Sequence[Entry], again: str = "plan again") -> Path:
    """Append entries to the season's entries.yaml, or make one; the path.

    What stands there stays byte for byte; the new file is read back before it takes the place of the old one, which it
    does whole or not at all. ``again`` is the advice where the entries no longer go with the file. Raises OutputError
    where the file has changed since the season was read, where an entry stands there already, where it is written so
    that nothing can be appended, or where the disk refuses.
    """
    assert season.folder is not None
    path = season.folder / NAME
    if not path.exists() and not path.is_symlink():
        write_new(path, b"entries:\n" + _lines(entries, "  ", "\n").encode())
        return path
    before = read_content(path, NAME, MAX_BYTES)
    known = _read(before)
    if known is None:
        raise OutputError(
            f"{NAME} has problems, so nothing is appended to it", "mend what `entryprep check` finds there"
        )
    if [e.model_dump() for e in known] != _as_read(season):
        raise OutputError(f"{NAME} was changed meanwhile", again)
    there = {(e.batch, e.competition, e.category.casefold()) for e in known}
    clash = next((e for e in entries if (e.batch, e.competition, e.category.casefold()) in there), None)
    if clash is not None:
        raise OutputError(f"{clash.batch} stands in {NAME} for {clash.competition} {clash.category} already", again)
    replace_file(path, before, appended(before, entries))
    return path


def appended(before: bytes, entries: Sequence[Entry]) -> bytes:
    """The text of an entries.yaml with more entries at its end.

    Raises OutputError where its list is written in brackets, or something follows it, so that lines at the end would
    not belong to it.
    """
    newline = "\r\n" if b"\r\n" in before else "\n"
    indent = _indent(before)
    text = _lines(entries, indent, newline).encode()
    after = before + (b"" if before.endswith((b"\n", b"\r")) else newline.encode()) + text
    known, now = _read(before), _read(after)
    if known is None or now is None or now != [*known, *entries]:
        raise OutputError(
            f"nothing can be appended to {NAME} as it is written",
            "let `entries:` be the last key, each entry on a line of its own that begins with `- `",
        )
    return after


def _indent(before: bytes) -> str:
    """The spaces before the dashes of the list; two where it is empty."""
    try:
        root = yaml.compose(before.decode("utf-8-sig"), Loader=yaml.SafeLoader)
    except (yaml.YAMLError, UnicodeDecodeError):
        return "  "
    for key, value in root.value if isinstance(root, yaml.MappingNode) else ():
        if key.value == "entries" and isinstance(value, yaml.SequenceNode) and not value.flow_style:
            return " " * int(value.start_mark.column)
    return "  "


def _read(content: bytes) -> list[Entry] | None:
    try:
        found, problems = validate(parse_yaml(content, NAME), EntryList)
    except RecordError:
        return None
    return None if found is None or problems else list(found.entries)


def _as_read(season: Season) -> list[dict[str, object]]:
    document = season.documents.get(NAME)
    found, _ = validate(document, EntryList) if document is not None else (None, [])
    return [entry.model_dump() for entry in found.entries] if found is not None else []


def _lines(entries: Sequence[Entry], indent: str, newline: str) -> str:
    return "".join(f"{indent}- {{{_pairs(entry)}}}{newline}" for entry in entries)


def _pairs(entry: Entry) -> str:
    values = entry.model_dump(exclude_none=True)
    return ", ".join(f"{key}: {scalar(value)}" for key, value in values.items())
