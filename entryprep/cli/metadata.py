"""The descriptions of installed packages, read when one is asked for.

The library that checks records imports ``importlib.metadata``, and with it a reader of mail, only to look for plugins,
which are never looked for here: a tenth of a start.
"""

from __future__ import annotations

import importlib
import sys
from types import ModuleType
from typing import Any

NAME = "importlib.metadata"


class Spared(ModuleType):
    """The module, loaded by the first use of what is in it."""

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__") and name != "__all__":
            raise AttributeError(name)
        return getattr(_whole(self), name)

    def entry_points(self, **wanted: str) -> Any:
        """As that of the module, which a caller may import long before it calls it."""
        return _whole(self).entry_points(**wanted)


def spared() -> None:
    """Put :class:`Spared` in the place of the module, unless that is loaded already."""
    sys.modules.setdefault(NAME, Spared(NAME))


def _whole(stand_in: ModuleType) -> Any:
    if sys.modules.get(NAME) is stand_in:
        del sys.modules[NAME]
    return importlib.import_module(NAME)
