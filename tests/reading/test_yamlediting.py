"""A value put into a file that a person wrote: that value changes, and nothing else does."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from entryprep.reading.yamlediting import EditError, with_value
from entryprep.reading.yamltext import parse_yaml
from entryprep.reading.yamlwriting import flow, scalar

TEXT = """# top
name: X   # the name
dates: {brewed: 2026-01-01}  # d
measured:
  og: 1.050   # read twice
  # fg later

bottles:
  - {count: 3}   # mine
  - count: 2
    type: nip
traits:
notes: |
  a
  b
# end
"""


@pytest.mark.parametrize(
    ("path", "value", "removed", "added"),
    [
        (("measured", "fg"), "x", [], ["  fg: x"]),
        (("measured", "og"), "x", ["  og: 1.050   # read twice"], ["  og: x   # read twice"]),
        (
            ("dates", "packaged"),
            "x",
            ["dates: {brewed: 2026-01-01}  # d"],
            ["dates: {brewed: 2026-01-01, packaged: x}  # d"],
        ),
        (("bottles", 0, "count"), "x", ["  - {count: 3}   # mine"], ["  - {count: x}   # mine"]),
        (("bottles", 1, "glass"), "x", [], ["    glass: x"]),
        (("traits", "malt"), "x", [], ["  malt: x"]),
        (("style",), "x", [], ["style: x"]),
        (("carbonation", "priming", "mass"), "x", [], ["carbonation:", "  priming:", "    mass: x"]),
    ],
)
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_only_that_line_changes(
    path: tuple[str | int, ...], value: str, removed: list[str], added: list[str], newline: str
) -> None:
    before = TEXT.replace("\n", newline)
    after = with_value(before.encode(), "x.yaml", path, value).decode()
    old, new = before.split(newline), after.split(newline)
    assert [line for line in old if line not in new] == removed
    assert [line for line in new if line not in old] == added
    assert [line for line in new if line not in added] == [line for line in old if line not in removed]


@pytest.mark.parametrize("path", [("notes",), ("bottles",), ("bottles", 7, "count"), ("name", "inner")])
def test_what_cannot_be_put_in_is_refused(path: tuple[str | int, ...]) -> None:
    with pytest.raises(EditError) as caught:
        with_value(TEXT.encode(), "x.yaml", path, "x")
    assert "by hand" in caught.value.fix


def test_the_mark_at_the_beginning_stays() -> None:
    assert with_value(b"\xef\xbb\xbfname: X", "x.yaml", ("style",), "ale") == b"\xef\xbb\xbfname: X\nstyle: ale\n"


@given(st.text(max_size=40))
def test_any_text_is_written_so_that_every_reader_of_yaml_reads_it(text: str) -> None:
    try:
        text.encode()
    except UnicodeEncodeError:
        return
    for written in (f"v: {scalar(text)}", f"v: [{scalar(text)}]", f"v: {flow({'w': text})}"):
        value = yaml.safe_load(written)["v"]  # the outside check: a general YAML library
        assert value in (text, [text], {"w": text})
    assert parse_yaml(f"v: {scalar(text)}".encode(), "x").data["v"] == text
