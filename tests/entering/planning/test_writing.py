"""A plan appended to entries.yaml: what stands there stays byte for byte, or nothing is written."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from entryprep.entering.planning.writing import appended, short_of_bottles, with_entries, write_entries
from entryprep.entering.season import Season, read_season
from entryprep.output import OutputError
from entryprep.records.entry import Entry
from tests.seasons import write_season

BATCH = "name: Ferry\n"
CUP = 'name: Cup\ncategories: [{code: "1", name: Porter}, {code: "no", name: Stout}, {code: "2", name: Bitter}]\n'
NEW = [Entry(batch="ferry", competition="cup", category="no", style='Baltic: "Porter" #1', way="hand")]
COMMENTED = """# my entries
entries:
  # the first
  - batch: ferry   # from the cellar
    competition: cup
    category: "1"
  # to be decided: the rest
"""


def a_season(folder: Path, entries: str | bytes | None) -> Season:
    write_season(folder, batches__ferry=BATCH, competitions__cup=CUP)
    if entries is not None:
        (folder / "entries.yaml").write_bytes(entries if isinstance(entries, bytes) else entries.encode())
    return read_season(folder)[0]


@pytest.mark.parametrize(
    "before",
    [
        COMMENTED,
        COMMENTED.rstrip("\n"),
        COMMENTED.replace("\n", "\r\n"),
        "\ufeff" + COMMENTED,
        COMMENTED.replace("  - batch", "- batch").replace("    comp", "  comp").replace("    cat", "  cat"),
        "entries:\n",
        "entries:\n      - {batch: ferry, competition: cup, category: '1'}\n",
    ],
)
def test_what_stands_there_stays_and_the_new_is_read_back(tmp_path: Path, before: str) -> None:
    season = a_season(tmp_path, before)
    count = len(season.entered)
    path = write_entries(season, NEW)
    content = path.read_bytes()
    assert content.startswith(before.encode())
    assert (b"\r\n" in content) == ("\r\n" in before)
    read = yaml.safe_load(content.decode("utf-8-sig"))["entries"]  # the library itself, not our reader
    assert read[-1] == NEW[0].model_dump(exclude_none=True)
    after, problems = read_season(tmp_path)
    assert (len(after.entered), problems) == (count + 1, [])


def test_a_file_is_made_where_there_is_none(tmp_path: Path) -> None:
    season = a_season(tmp_path, None)
    write_entries(season, NEW)
    assert read_season(tmp_path)[0].entered[0].entry == NEW[0]


@pytest.mark.parametrize(
    ("before", "words"),
    [
        ("entries: [{batch: ferry, competition: cup, category: '1'}]\n", "nothing can be appended"),
        ("entries: []\n", "nothing can be appended"),
        (COMMENTED + "...\n", "nothing can be appended"),
        (COMMENTED + "colour: red\n", "has problems"),
        ("# nothing yet\n", "has problems"),
        (COMMENTED.replace('"1"', '"NO"'), "already"),
    ],
)
def test_what_cannot_be_appended_to_is_left_alone(tmp_path: Path, before: str, words: str) -> None:
    season = a_season(tmp_path, before)
    with pytest.raises(OutputError, match=words) as caught:
        write_entries(season, NEW)
    assert caught.value.fix
    assert (tmp_path / "entries.yaml").read_text() == before
    assert [path.name for path in tmp_path.iterdir() if path.is_file()] == ["entries.yaml"]


def test_a_file_changed_since_it_was_read_is_left_alone(tmp_path: Path) -> None:
    season = a_season(tmp_path, COMMENTED)
    changed = COMMENTED.replace('"1"', '"2"')
    (tmp_path / "entries.yaml").write_text(changed)
    with pytest.raises(OutputError, match="changed meanwhile"):
        write_entries(season, NEW)
    assert (tmp_path / "entries.yaml").read_text() == changed


def test_a_link_stays_a_link_and_permissions_stay(tmp_path: Path) -> None:
    season = a_season(tmp_path / "season", COMMENTED)
    own, real = tmp_path / "season" / "entries.yaml", tmp_path / "elsewhere.yaml"
    own.rename(real)
    own.symlink_to(real)
    real.chmod(0o640)
    write_entries(season, NEW)
    assert own.is_symlink()
    assert real.stat().st_mode & 0o777 == 0o640
    assert real.read_bytes().startswith(COMMENTED.encode())


@given(st.text(st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=12))
def test_any_code_is_read_back_as_it_is(code: str) -> None:
    entry = Entry(batch="ferry", competition="cup", category=code)
    after = appended(COMMENTED.encode(), [entry])
    assert yaml.safe_load(after)["entries"][-1]["category"] == entry.category


def test_entries_that_lead_nowhere_keep_their_places(tmp_path: Path) -> None:
    """New entries stand after all of the file: no two have one place, and each is found by its own."""
    lost = "  - {batch: nobody, competition: cup, category: '1'}\n"
    season = a_season(tmp_path, f"entries:\n{lost * 2}  - {{batch: ferry, competition: cup, category: '1'}}\n{lost}")
    assert [e.index for e in season.entered] == [2]
    new = [*NEW, NEW[0].model_copy(update={"category": "2"})]
    after = with_entries(season, new)
    assert [e.index for e in after.entered] == [2, 4, 5]
    assert [after.entry_at(e.index) for e in after.entered] == after.entered
    assert (
        short_of_bottles(season, new) == new
    )  # the beer has no bottles, so that both new ones are short, and no other
