"""The structure of the package: arrows run one way, nothing heavy is loaded early, nothing prints in the library."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest

import entryprep

PACKAGE = Path(entryprep.__file__).parent
# each floor may import itself and what stands below it; rooms of one floor know nothing of each other
FLOORS = (
    ("cli",),
    ("paper",),
    ("entering", "receiving"),
    ("beer",),
    ("formats",),
    ("records",),
    ("tables",),
    ("reading",),
    ("vitals",),
    ("measures",),
    ("quantities",),
    ("brewing",),
    ("output",),
    ("staging",),
    ("folderlock",),
    ("filenames", "findings", "text"),
    ("errors",),
)
FLOOR = {room: number for number, rooms in enumerate(FLOORS) for room in rooms}


def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def part_of(name: str) -> str:
    steps = name.split(".")
    return steps[1] if len(steps) > 1 else ""


def imported(tree: ast.AST) -> list[str]:
    names = []
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("entryprep"):
            names += [node.module] if node.module != "entryprep" else [f"entryprep.{a.name}" for a in node.names]
        elif isinstance(node, ast.Import):
            names += [a.name for a in node.names if a.name.startswith("entryprep")]
    return names


@pytest.mark.parametrize("path", modules(), ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_arrows_run_one_way(path: Path) -> None:
    own = part_of("entryprep." + path.relative_to(PACKAGE).with_suffix("").as_posix().replace("/", "."))
    if own in {"__init__", "__main__"}:
        return
    assert own in FLOOR, f"{own} has no place in the house"
    for name in imported(ast.parse(path.read_text(encoding="utf-8"))):
        part = part_of(name)
        if part in FLOOR and part != own:
            assert FLOOR[part] > FLOOR[own], f"{path.name} in {own} imports {name}: the arrow runs back"


@pytest.mark.parametrize("path", modules(), ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_the_library_never_prints_or_exits(path: Path) -> None:
    if "cli" in path.relative_to(PACKAGE).parts:
        return
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in {"print", "input", "exit", "quit"}, f"{path.name}:{node.lineno}"
        if isinstance(node, ast.Name):
            assert node.id != "SystemExit", f"{path.name}:{node.lineno}"


def loaded_after(code: str) -> set[str]:
    script = f"import sys\n{code}\nprint(' '.join(sorted(sys.modules)))"
    # the environment in so many words: a line editor that a test runner loads adds the columns of its terminal
    env = {name: value for name, value in os.environ.items() if name not in {"COLUMNS", "FORCE_COLOR"}}
    result = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True, env=env)
    return set(result.stdout.splitlines()[-1].split())


def test_help_loads_nothing_heavy() -> None:
    code = "from entryprep.cli import main\nsys.argv = ['entryprep', '--help']\n"
    code += "try:\n    main()\nexcept SystemExit:\n    pass"
    assert not {
        "reportlab",
        "rapidfuzz",
        "pydantic",
        "yaml",
        "entryprep.records.models",
        "entryprep.quantities",
    } & loaded_after(code)


def test_a_beer_is_ranked_without_what_only_a_terminal_needs(tmp_path: Path) -> None:
    """`suggest` of a plain batch into a pipe loads no drawing of terminals, no matching of names, no paper, no plan."""
    batch = tmp_path / "b.yaml"
    batch.write_text(
        "name: B\nmeasured: {og: 1.050, fg: 1.012}\npredicted: {ibu: 24, srm: 11}\ntraits: {malt: toasty}\n"
    )
    code = f"from entryprep.cli import main\nsys.argv = ['entryprep', 'suggest', {str(batch)!r}]\n"
    code += "try:\n    main()\nexcept SystemExit:\n    pass"
    heavy = {"rich", "rapidfuzz", "reportlab", "numpy", "highspy", "icalendar"}
    heavy |= {
        f"entryprep.{name}" for name in ("tables.vocabulary", "tables.rules", "tables.doses", "tables.ingredients")
    }
    heavy |= {f"entryprep.{name}" for name in ("brewing.prediction", "beer.steps", "beer.forecast", "paper.canvas")}
    assert heavy & loaded_after(code) == set()


def test_importing_the_package_loads_nothing_heavy() -> None:
    assert not {"pydantic", "yaml", "reportlab", "rapidfuzz", "typer"} & loaded_after("import entryprep")


def test_the_contract_can_be_imported() -> None:
    for name in entryprep.__all__:
        assert getattr(entryprep, name) is not None
    with pytest.raises(AttributeError):
        entryprep.nothing  # noqa: B018


@pytest.mark.parametrize("path", modules(), ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_public_things_say_what_they_are(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    assert ast.get_docstring(tree), f"{path.name} has no docstring"
    for node in tree.body:
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("_"):
            assert ast.get_docstring(node), f"{path.name}: {node.name} has no docstring"
