"""What becomes of the work when nobody listens: closed and broken streams, full devices, poor terminals, Ctrl-C."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from entryprep.cli.show import clean, json_text
from tests.damage import call as called
from tests.damage import wrong_with

WRITTEN = ["checked.csv", "entries.csv", "journal.jsonl", "judging.csv", "key.csv", "letters"]
SHEET = "entry,brewer,style,og\n1,Tomás Łęcki,dark lager,1.05\n2,Åse Øygard,Kölsch,1.048\n"
COMMAND = f"{sys.executable} -m entryprep"


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    (tmp_path / "d.csv").write_text(SHEET, encoding="utf-8")
    return tmp_path


def shell(folder: Path, line: str, **env: str) -> subprocess.CompletedProcess[bytes]:
    own = {**os.environ, "COLUMNS": "80", **env}
    return subprocess.run(["sh", "-c", line], cwd=folder, env=own, capture_output=True, check=False, timeout=60)


@pytest.mark.parametrize(
    "words", ["| head -c 1", "--json | head -c 1", ">&-", "2>&-", ">&- 2>&-", "--json >&- 2>&- <&-"]
)
def test_files_are_written_whoever_listens(sheet: Path, words: str) -> None:
    done = shell(sheet, f"{COMMAND} intake d.csv --out o --seed 'a b' {words}")
    assert sorted(os.listdir(sheet / "o")) == sorted([*WRITTEN, ".entryprep-made.json"])
    assert b"Traceback" not in done.stderr
    assert b"fault" not in done.stderr


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="the system has no full device")
@pytest.mark.parametrize("words", [">/dev/full", "--json >/dev/full", ">/dev/full 2>/dev/full"])
def test_a_full_device_loses_words_and_no_work(sheet: Path, words: str) -> None:
    done = shell(sheet, f"{COMMAND} intake d.csv --out o --seed 'a b' {words}")
    assert done.returncode == 1, "the sheet has errors, which is told by the exit code"
    assert set(WRITTEN) <= set(os.listdir(sheet / "o"))
    assert ("2>" in words) or (b"could not be written: No space left" in done.stderr)
    assert shell(sheet, f"{COMMAND} styles > /dev/full").returncode == 2


@pytest.mark.parametrize("env", [{"PYTHONIOENCODING": c} for c in ("ascii", "cp1252", "latin-1")] + [{"LC_ALL": "C"}])
def test_letters_a_terminal_lacks_are_replaced(sheet: Path, env: dict[str, str]) -> None:
    done = shell(sheet, f"{COMMAND} intake d.csv", **env)
    assert done.returncode == 1, done.stderr
    as_json = shell(sheet, f"{COMMAND} intake d.csv --json", **env)
    brewers = [entry["declared"]["brewer"] for entry in json.loads(as_json.stdout.decode("latin-1"))["entries"]]
    if "LC_ALL" not in env:  # nothing is lost in JSON: what the encoding lacks is escaped
        assert brewers == ["Tomás Łęcki", "Åse Øygard"]


def test_accents_are_dropped_before_letters_are() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "entryprep", "styles", "nosuchkölsch–"],
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
        capture_output=True,
        check=False,
    )
    assert b"nosuchkolsch-" in done.stderr


def test_no_closed_stream_lends_its_number_to_a_file(sheet: Path) -> None:
    shell(sheet, f"{COMMAND} prepare . >&- 2>&-; {COMMAND} demo season >&- 2>&-")
    assert (sheet / "season" / "out" / "index.html").read_bytes().startswith(b"<!")


def test_ctrl_c_while_modules_load_is_quiet() -> None:
    code = """
import os, signal, sys
signal.signal(signal.SIGINT, signal.default_int_handler)
class Interrupting:
    def find_spec(self, name, path=None, target=None):
        if name == sys.argv[1]:
            os.kill(os.getpid(), signal.SIGINT)
sys.meta_path.insert(0, Interrupting())
from entryprep.cli import main
main()
"""
    for name in ("entryprep.cli.streams", "entryprep.cli.app", "typer", "entryprep.cli.boundary"):
        args = [sys.executable, "-c", code, name, "styles"]
        done = subprocess.run(args, capture_output=True, check=False, timeout=60)
        assert (done.returncode, done.stdout, done.stderr) == (130, b"", b"Interrupted.\n"), name


@pytest.mark.parametrize("text", ["a\x1b[31mb", "\u202eevil", "\x9b31m", "a\x7f", "\u200b", "\r"])
def test_nothing_that_steers_a_terminal_is_said(text: str, tmp_path: Path) -> None:
    assert clean(text).isprintable()
    assert json.loads(json_text({"a": text}))["a"] == text
    assert json_text({"a": text}).isprintable()
    for args in (
        ["check", str(tmp_path / text)],
        ["vitals", str(tmp_path / text), "--json"],
        ["styles", text],
        ["fit", f"--{text}"],
        [text],
        ["fit", "--og", text, "--style", text],
        ["intake", "--map", text],
        ["suggest", "--trait", text, "--og", "1.05", "--fg", "1.01"],
        ["results", str(tmp_path / text), "--scale", text],
    ):
        done = called(*args)
        assert not wrong_with(done, args), (args, done)
        assert done.code == 2


def test_a_file_name_cannot_pass_for_a_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)  # a long path would be wrapped, and perhaps just there
    done = called("vitals", "a.yaml\nERROR b.yaml: all is well")
    assert len([line for line in done.err.splitlines() if line.startswith("ERROR")]) == 1


def test_json_holds_no_infinity(tmp_path: Path) -> None:
    path = tmp_path / "b.yaml"
    path.write_text(
        "name: x\nstyle: Kölsch\nmeasured: {og: 1.05, fg: 1.01}\nrecipe:\n  volume: 20 L\n  fermentables:\n"
        "    - {what: Pilsner malt, mass: 4 kg}\n  hops: []\n",
        encoding="utf-8",
    )
    for command in ("fit", "vitals", "suggest", "base"):
        done = called(command, str(path), "--json")
        assert done.code in {0, 2}, done
        if done.code == 0:
            assert not wrong_with(done, ["--json"])
    fit = json.loads(called("fit", str(path), "--json").out)["fit"]
    assert [p["miss_in_errors"] for p in fit["parts"] if p["vital"] == "ibu"] == [None]


def test_pipes_and_devices_are_refused_at_once(sheet: Path) -> None:
    pipe = sheet / "pipe"
    os.mkfifo(pipe)
    for args in (
        ["vitals", pipe],
        ["intake", pipe],
        ["flights", sheet / "d.csv", "--judges", pipe],
        ["flights", sheet / "d.csv", "--judges", sheet / "d.csv", "--key", pipe],
        ["results", sheet / "d.csv", "--entries", pipe],
        ["results", sheet / "d.csv", "--scale", f"{pipe}/../pipe"],
        ["suggest", "--og", "1.05", "--fg", "1.01", "--competition", pipe],
        ["vitals", "/dev/zero"],
        ["intake", "/dev/zero"],
    ):
        done = called(*map(str, args))
        assert done.code == 2, (args, done)
        said = " ".join(done.err.split())
        told = "not a plain file" in said or "is no scale known here" in said
        assert told, (args, "it is not even opened: a pipe would be waited for without end")
