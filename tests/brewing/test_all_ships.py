"""Every public name of the maths serves the product: what only tests call proves nothing that ships."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import entryprep

PACKAGE = Path(entryprep.__file__).parent
MATHS = "entryprep.brewing"


def names_of(statement: ast.stmt) -> list[str]:
    """The names that a statement at the top of a module gives a meaning to."""
    if isinstance(statement, (ast.FunctionDef, ast.ClassDef)):
        return [statement.name]
    targets = statement.targets if isinstance(statement, ast.Assign) else []
    targets = [statement.target] if isinstance(statement, ast.AnnAssign) else targets
    return [node.id for target in targets for node in ast.walk(target) if isinstance(node, ast.Name)]


def imported(tree: ast.Module) -> dict[str, str]:
    """What each name that is imported from the maths means: ``module.name``, or ``module`` for a whole one."""
    meanings: dict[str, str] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith(MATHS):
            module = (node.module or "").removeprefix(MATHS).lstrip(".")
            meanings |= {alias.asname or alias.name: f"{module}.{alias.name}".lstrip(".") for alias in node.names}
    return meanings


def used(tree: ast.AST, meanings: dict[str, str]) -> Iterator[str]:
    """What of ``meanings`` the code mentions; an import by itself is no use."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Name) and node.id in meanings:
            yield meanings[node.id]
        elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id in meanings:
            yield f"{meanings[node.value.id]}.{node.attr}"


def unused(package: Path = PACKAGE) -> list[str]:
    """Public names of the maths that nothing outside it reaches, directly or through other names of the maths."""
    needs: dict[str, set[str]] = {}
    reached: set[str] = set()
    for path in sorted(package.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        meanings = imported(tree)
        if path.parent.name != "brewing":
            reached |= set(used(tree, meanings))
            continue
        meanings |= {name: f"{path.stem}.{name}" for statement in tree.body for name in names_of(statement)}
        for statement in tree.body:
            for name in names_of(statement):
                needs[f"{path.stem}.{name}"] = set(used(statement, meanings))
    while more := {need for name in reached for need in needs.get(name, ())} - reached:
        reached |= more
    return sorted(name for name in needs if name not in reached and not name.split(".")[1].startswith("_"))


def test_every_public_name_of_the_maths_is_reached_by_what_ships() -> None:
    assert unused() == []


def test_every_method_of_the_maths_is_called_by_what_ships() -> None:
    methods, called = set(), set()
    for path in PACKAGE.rglob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        called |= {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
        if path.parent.name == "brewing":
            classes = [node for node in tree.body if isinstance(node, ast.ClassDef)]
            functions = [node for found in classes for node in found.body if isinstance(node, ast.FunctionDef)]
            methods |= {node.name for node in functions if not node.name.startswith("_")}
    assert methods
    assert methods <= called


def test_a_name_that_nothing_reaches_is_found(tmp_path: Path) -> None:
    (tmp_path / "brewing").mkdir()
    maths = "LIMIT = 3\nSPARE = 4\n\ndef used():\n    return _inner()\n\ndef _inner():\n    return LIMIT\n\n"
    maths += "def idle():\n    return idle() + SPARE\n"
    (tmp_path / "brewing" / "sums.py").write_text(maths, encoding="utf-8")
    caller = "from entryprep.brewing import sums\nfrom entryprep.brewing.sums import idle\n\nprint(sums.used())\n"
    (tmp_path / "caller.py").write_text(caller, encoding="utf-8")
    assert unused(tmp_path) == ["sums.SPARE", "sums.idle"]
