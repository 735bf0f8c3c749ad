"""What README and help promise beside their examples: commands, options, completion, version."""

from __future__ import annotations

import inspect
import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from entryprep import __version__
from entryprep.cli.app import COMMANDS, app

RUNNER = CliRunner()
README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
NAMES = {command.__name__ for command in COMMANDS}
OF_ALL = {"--help", "--version", "--install-completion", "--show-completion"}


def options_of(command: str) -> set[str]:
    shown = RUNNER.invoke(app, [command, "--help"], env={"COLUMNS": "200"}).stdout
    return set(re.findall(r"--[a-z0-9][a-z0-9-]*", shown)) | OF_ALL


def mentioned() -> list[str]:
    """Pieces of code in the running text and the table, one for each mention."""
    text = re.sub(r"```.*?```", "", README, flags=re.DOTALL)
    return re.findall(r"`([^`\n]+)`", text)


def test_every_command_stands_in_the_table_and_no_other() -> None:
    table = [line.split("|")[1] for line in README.splitlines() if line.startswith("| `")]
    told = {words.split()[0] for cell in table for words in re.findall(r"`([^`]+)`", cell)}
    assert told == NAMES


def test_every_option_that_is_mentioned_exists_where_it_is_mentioned() -> None:
    every = set().union(*(options_of(name) for name in NAMES))
    for code in mentioned():
        words = [w for w in code.split() if w]
        named = [w for w in words if w.startswith("--") and not w.startswith("---")]
        command = next((w for w in words[:2] if w in NAMES), None)
        for option in named:
            known = options_of(command) if command and words[0] in {command, "entryprep"} else every
            assert option.partition("=")[0] in known, code


def test_each_line_of_the_table_speaks_of_options_of_its_own_command() -> None:
    for line in README.splitlines():
        if line.startswith("| `"):
            cell = line.split("|")[1]
            commands = [words.split()[0] for words in re.findall(r"`([^`]+)`", cell)]
            known = set().union(*(options_of(name) for name in commands))
            for option in re.findall(r"--[a-z][a-z-]*", line):
                assert option in known, line


def test_every_command_has_one_example_of_itself_in_its_help() -> None:
    for command in COMMANDS:
        examples = re.findall(r"Example: (.*)", inspect.getdoc(command) or "")
        assert len(examples) == 1, command.__name__
        assert shlex.split(examples[0])[:2] == ["entryprep", command.__name__]


@pytest.mark.parametrize(
    "line",
    [
        "labels demo-season --competition blind-heron --sheet letter-10-adhesive --start-at 3 --nudge 0.5,-1 "
        "--despite-errors",
        "labels demo-season --layout neck-tag --despite-errors",
        "labels demo-season --calibrate",
        "labels demo-season --beer quay-light --bottle 2 --competition saltmarsh-open --despite-errors",
        "suggest demo-season/batches/lovfall.yaml --competition demo-season/competitions/saltmarsh-open.yaml",
        "vitals demo-season/batches/lovfall.yaml --units us",
        "schema batch",
        "styles",
        "check demo-season --json",
    ],
)
def test_what_the_running_text_says_one_can_type_runs(line: str, demo: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(demo.parent)
    day = () if line.split(maxsplit=1)[0] in {"suggest", "vitals", "schema", "styles"} or "--calibrate" in line else DAY
    result = RUNNER.invoke(app, [*shlex.split(line), *day])
    assert result.exit_code in {0, 1}, result.output
    assert "Traceback" not in result.output


DAY = ("--today", "2027-02-20")


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    from entryprep.cli.start import lay_out

    folder = tmp_path_factory.mktemp("promised") / "demo-season"
    lay_out(folder, "templates/demo")
    return folder


def completed(shell: str, words: str) -> str:
    """What a shell is offered for a line that is being typed, by the protocol of that shell."""
    asked = {
        "COMP_WORDS": words,
        "COMP_CWORD": str(len(words.split(" ")) - 1),
        "_TYPER_COMPLETE_ARGS": words,
        "_TYPER_COMPLETE_FISH_ACTION": "get-args",
        "_TYPER_COMPLETE_WORD_TO_COMPLETE": words.rsplit(" ", maxsplit=1)[-1],
        "_ENTRYPREP_COMPLETE": f"complete_{shell}",
    }
    run = subprocess.run(
        [sys.executable, "-m", "entryprep"], env={**os.environ, **asked}, capture_output=True, text=True, check=False
    )
    assert "Traceback" not in run.stderr, run.stderr
    return run.stdout


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish", "powershell"])
def test_shells_complete_commands_and_options(shell: str) -> None:
    assert "plan" in completed(shell, "entryprep pl")
    assert "--budget" in completed(shell, "entryprep plan --bu")
    assert "--units" in completed(shell, "entryprep check --un")


def test_the_completion_is_for_the_name_one_types() -> None:
    shown = subprocess.run(
        [sys.executable, "-m", "entryprep", "--show-completion", "bash"], capture_output=True, text=True, check=False
    ).stdout
    assert "_ENTRYPREP_COMPLETE=complete_bash" in shown
    assert re.search(r"complete .*-F \w+ entryprep$", shown.strip())
    assert "python" not in shown
    usage = subprocess.run(
        [sys.executable, "-m", "entryprep", "plan", "--help"], capture_output=True, text=True, check=False
    ).stdout
    assert usage.startswith("Usage: entryprep plan")


def test_the_version_is_told() -> None:
    assert RUNNER.invoke(app, ["--version"]).stdout == f"entryprep {__version__}\n"
