"""The one rule table: every id of the code has a row, every row is used, every row says why and by what source."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path
from string import Formatter

import pytest

import entryprep
from entryprep.findings import Severity
from entryprep.tables.rules import (
    NOT_LEGAL_ADVICE,
    RuleRow,
    Variant,
    _rows_of,
    _told,
    finding,
    refused,
    rule_row,
    rule_rows,
    told_again,
)

PACKAGE = Path(entryprep.__file__).parent
# calls that name a rule, and which of their arguments does
NAMING = {"Hit": 0, "finding": 0, "refused": 0, "tell": 1, "_tell": 0}
NO_WORDS = {"receiving", "formats", "cli", "paper", "entering"}
READERS = {"record", "file", "sheet"}  # what reads the table cannot have its words from there


@cache
def trees() -> list[tuple[Path, ast.Module]]:
    return [(path, ast.parse(path.read_text(encoding="utf-8"))) for path in sorted(PACKAGE.rglob("*.py"))]


def named(call: ast.Call) -> list[str]:
    """The rules a call names as plain text."""
    called = call.func.id if isinstance(call.func, ast.Name) else getattr(call.func, "attr", "")
    place = NAMING.get(called)
    if place is None or len(call.args) <= place:
        return []
    arg = call.args[place]
    choices = (arg.body, arg.orelse) if isinstance(arg, ast.IfExp) else (arg,)
    return [node.value for node in choices if isinstance(node, ast.Constant) and isinstance(node.value, str)]


def _is_id(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def test_every_rule_the_code_names_has_a_row() -> None:
    found = {
        rule for _, tree in trees() for node in ast.walk(tree) if isinstance(node, ast.Call) for rule in named(node)
    }
    assert len(found) > 80
    assert found - set(rule_rows()) == set()


def test_a_finding_reads_the_file_of_its_rule_and_no_other() -> None:
    _rows_of.cache_clear()
    _told.cache_clear()
    assert finding("bottle-doubtful", {"condition": "leaks"}).rule == rule_row("bottle-doubtful").id
    assert _rows_of.cache_info().currsize == 1
    assert {rule_row(rule_id) == row for rule_id, row in rule_rows().items()} == {True}
    with pytest.raises(KeyError):
        rule_row("bottle-doubt")


def test_every_row_is_used() -> None:
    texts = {node.value for _, tree in trees() for node in ast.walk(tree) if _is_id(node)}  # type: ignore[attr-defined]
    assert set(rule_rows()) - texts == set()


def test_no_finding_is_worded_in_code() -> None:
    for path, tree in trees():
        if path.relative_to(PACKAGE).parts[0] not in NO_WORDS:
            continue
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Finding":
                first = node.args[0]
                assert isinstance(first, ast.Constant), f"{path.name}:{node.lineno}"
                assert first.value in READERS, f"{path.name}:{node.lineno}"


@pytest.mark.parametrize("row", rule_rows().values(), ids=lambda row: row.id)
def test_a_row_is_whole(row: RuleRow) -> None:
    assert row.source
    variants: list[RuleRow | Variant] = [row, row.receiving or Variant(), *row.cases.values()]
    for words in variants:
        for text in (words.what, words.fix):
            if text is not None:
                assert text[0].islower() or text[0] in "{`“"
                assert not text.endswith(".")
                assert all(name is None or name.isidentifier() for _, name, _, _ in Formatter().parse(text))
    assert row.why[0].isupper()
    assert row.why.endswith(".")
    if row.milder is not None:
        assert list(Severity).index(row.milder) > list(Severity).index(row.severity)
    if row.legal:
        assert row.checked is not None


def test_titles_are_said_once() -> None:
    assert len({row.title for row in rule_rows().values()}) == len(rule_rows())


def test_a_finding_has_the_words_of_its_side_and_case() -> None:
    few = {"have": 1, "needed": 2, "entries": "", "source": "the file", "kept": ""}
    brewer, steward = finding("bottles-too-few", few), finding("bottles-too-few", few, receiving=True, milder=True)
    assert (
        brewer.what == "2 bottles are needed, 1 of those that may be sent are left once the other entries have theirs"
    )
    assert steward.what == "1 of 2 bottles arrived"
    assert (brewer.severity, steward.severity) == (Severity.ERROR, Severity.WARNING)
    assert brewer.why == steward.why == f"{rule_rows()['bottles-too-few'].why} (the file)"
    again = told_again(finding("style-missing", receiving=True), "flights")
    assert (again.severity, again.what) == (Severity.WARNING, "no style is declared")
    assert "before the judging" in again.fix


def test_values_are_not_read_as_templates() -> None:
    assert finding("bottle-doubtful", {"condition": "{have} {0.__class__}"}).what == "condition: {have} {0.__class__}"


def test_what_is_not_there_is_a_key_error() -> None:
    for wrong in (("no-such-rule", ""), ("sheet", "no-such-case"), ("score-sum", "")):
        with pytest.raises(KeyError):
            finding(wrong[0], case=wrong[1])
    assert refused("sheet", "s.csv", "no-column", field="style", names="a, b").findings[0].where == "s.csv"


def test_laws_close_with_the_words_about_advice() -> None:
    assert finding("way-post-us", {"strength": "5 %"}).fix.endswith(NOT_LEGAL_ADVICE)
