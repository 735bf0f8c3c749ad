"""The compiled style table: the same as its sources, and found out when it is not."""

from __future__ import annotations

import copy
import pickle

import pytest

from entryprep.reading.yamltext import RecordError
from entryprep.tables import stylefiles
from entryprep.tables.shipped import shipped_file, shipped_json
from entryprep.tables.style import Style
from entryprep.tables.styles import COMPILED, load_styles

TABLE = load_styles()
ANEW = "run python -m tests.compile_styles, and commit what it writes"


def test_the_compiled_table_is_made_of_the_files_beside_it() -> None:
    assert shipped_json(COMPILED)["made_of"] == stylefiles.digest(), f"styles/ has changed: {ANEW}"


def test_the_compiled_table_is_what_the_sources_say() -> None:
    read, _ = stylefiles.table_of_sources()
    assert list(TABLE.styles) == list(read.styles)
    for style in read:
        assert TABLE.styles[style.id].fields() == style.fields()
        assert TABLE.styles[style.id].ranges == style.ranges
    assert (TABLE.families, TABLE.names, TABLE.ambiguous) == (read.families, read.names, read.ambiguous)
    assert shipped_file(COMPILED).decode() == stylefiles.compiled(), ANEW


@pytest.mark.parametrize("change", [b"# a remark\n", b""])
def test_a_changed_source_is_told(change: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    def changed(name: str) -> bytes:
        return shipped_file(name) + (change if name == "styles/stout.yaml" else b"")

    monkeypatch.setattr(stylefiles, "shipped_file", changed)
    assert (shipped_json(COMPILED)["made_of"] == stylefiles.digest()) is not bool(change)


def test_line_ends_of_a_checkout_change_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    before = stylefiles.digest()
    monkeypatch.setattr(stylefiles, "shipped_file", lambda name: shipped_file(name).replace(b"\n", b"\r\n"))
    assert stylefiles.digest() == before


def test_a_style_is_not_changed() -> None:
    pils = TABLE.find("German pils")
    with pytest.raises(AttributeError, match="is not changed: og"):
        pils.og = (1.0, 1.1)
    with pytest.raises(AttributeError):
        del pils.og
    assert copy.deepcopy(pils) == pickle.loads(pickle.dumps(pils)) == pils
    assert pils != TABLE.find("Irish stout")


def test_a_style_made_in_code_is_checked_like_one_of_a_file() -> None:
    made = Style(id="gale", name="Gale", note="A strong one.", og=("1.060", "20 °P"), traits={"fermentation": "ale"})
    assert made.og is not None
    assert made.ranges["og"].low == 1.060
    assert round(made.ranges["og"].high, 3) == 1.083  # ASBC tables: 20 °P is 1.0830
    assert made.traits == {"fermentation": ("ale",)}
    assert made.takes == ()
    with pytest.raises(RecordError) as caught:
        Style(id="gale", name="Gale", note="x", og=(1.070, 1.060), traits={})
    assert "low end first" in caught.value.fix
    with pytest.raises(RecordError, match="not known"):
        Style(id="gale", name="Gale", note="x", og=(1.06, 1.07), colours=3)


def test_each_style_stands_on_one_line_so_that_a_change_can_be_read() -> None:
    lines = shipped_file(COMPILED).decode().splitlines()
    assert sum(line.startswith('{"id": ') for line in lines) == len(TABLE)
