"""What goes into files and pipes: the same words and columns as on a terminal that is wide enough (rich draws it)."""

from __future__ import annotations

import io

from hypothesis import given, settings
from hypothesis import strategies as st

from entryprep.cli.plain import UNBROKEN, Line, Plain, Table
from entryprep.cli.screen import Screen
from entryprep.cli.show import paragraph, say_findings, table
from entryprep.findings import Finding, Severity

WORDS = st.text("ab é–日本Ωñ°.", min_size=1, max_size=9).filter(lambda text: text == text.strip())
CELLS = st.builds("\n".join, st.lists(WORDS, min_size=1, max_size=3))


def both(shown: Line | Table | None) -> tuple[str, str]:
    """What a file and what a very wide terminal without colours gets."""
    file, wide = io.StringIO(), io.StringIO()
    Plain(file).print(shown)
    screen = Screen(wide)
    screen.console.width = UNBROKEN
    screen.print(shown)
    return file.getvalue(), wide.getvalue()


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(CELLS, WORDS | st.just(""), CELLS), max_size=4), st.sets(st.integers(0, 2)), st.booleans())
def test_a_table_has_the_columns_of_a_terminal(rows: list[tuple[str, str, str]], right: set[int], named: bool) -> None:
    headers = ("style", "|", "日本 fit") if named else ("", "", "")
    file, wide = both(table(headers, rows, tuple(right)))
    assert file == wide


@settings(max_examples=60, deadline=None)
@given(CELLS, st.sampled_from(["", "bold", "dim yellow"]), st.integers(0, 6))
def test_a_paragraph_has_the_lines_of_a_terminal(text: str, style: str, indent: int) -> None:
    file, wide = both(paragraph(text, style, indent))
    assert file == wide


def test_nothing_is_an_empty_line() -> None:
    assert both(None) == ("\n", "\n")


def test_no_letter_of_a_user_steers_the_terminal() -> None:
    file, wide = both(table(("name",), [("\x1b[31mred\u202e",)]))
    assert file == wide == "name\n\N{REPLACEMENT CHARACTER}[31mred\N{REPLACEMENT CHARACTER}\n"


def test_a_line_is_its_pieces() -> None:
    line = Line.of("ERROR", "bold red").append(" row 3: ").append("too strong", "bold")
    assert line.plain == "ERROR row 3: too strong"
    assert both(line) == ("ERROR row 3: too strong\n",) * 2


def test_what_does_not_fit_a_terminal_is_wrapped_or_cut() -> None:
    screen = Screen(narrow := io.StringIO())
    screen.console.width = 10
    screen.print(paragraph("a beer of the summer", indent=2))
    assert narrow.getvalue() == "  a beer\n  of the\n  summer\n"
    screen.print(Line.of("0123456789abc"), crop=True)
    assert narrow.getvalue().splitlines()[-1] == "0123456789"


def test_what_may_hurt_is_told_before_all_else() -> None:
    """A style missed stands first in the file; a bottle that may burst comes first all the same."""
    missed = Finding("style-out-of-range", Severity.ERROR, "far over", file="batches/a.yaml", line=1)
    bursts = Finding("over-carbonated", Severity.ERROR, "4.0 volumes", file="batches/z.yaml", line=9)
    milder = Finding("fg-not-measured", Severity.WARNING, "not measured", file="batches/a.yaml", line=2)
    stream = io.StringIO()
    say_findings([missed, milder, bursts], stream)
    said = [line for line in stream.getvalue().splitlines() if line.startswith(("ERROR", "warning"))]
    assert [line.rpartition(": ")[2] for line in said] == ["4.0 volumes", "far over", "not measured"]
