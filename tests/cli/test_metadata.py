"""The descriptions of packages are not loaded by a start, and are all there for who asks."""

from __future__ import annotations

import importlib.metadata
import sys

import pytest

from entryprep.cli.metadata import NAME, Spared, spared


def test_what_stands_in_answers_as_the_module_does(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = sys.modules[NAME]
    monkeypatch.delitem(sys.modules, NAME)
    spared()
    assert isinstance(sys.modules[NAME], Spared)
    from importlib.metadata import entry_points

    assert isinstance(sys.modules[NAME], Spared), "imported, and not yet asked"
    assert {each.name for each in entry_points(group="console_scripts")} >= {"pytest"}
    assert not isinstance(sys.modules[NAME], Spared)
    assert sys.modules[NAME].version("pytest") == importlib.metadata.version("pytest")
    assert whole.version("pytest") == pytest.__version__


def test_another_name_loads_the_module(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(sys.modules, NAME)
    spared()
    from importlib.metadata import PackageNotFoundError, version

    with pytest.raises(PackageNotFoundError):
        version("no-such-package-at-all")


def test_a_module_that_is_loaded_stays() -> None:
    whole = sys.modules[NAME]
    spared()
    assert sys.modules[NAME] is whole
