"""Entry preparation for judged beer competitions: fit, ranking, checks, slips and lists.

The names below are loaded when first used, so that importing the package costs next to nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from entryprep.beer.asking import fit, rank, suggest
    from entryprep.beer.beer import Beer
    from entryprep.beer.fitting import Fit, Part
    from entryprep.beer.ranking import Ranking, Suggestion
    from entryprep.entering.check import check
    from entryprep.entering.season import Season, read_season
    from entryprep.errors import EntryprepError
    from entryprep.findings import Finding, Severity
    from entryprep.formats.opening import read_recipe
    from entryprep.output import OutputError
    from entryprep.paper.bundle import draw_slips
    from entryprep.quantities import QuantityError
    from entryprep.reading.yamltext import RecordError
    from entryprep.records.batch import Addition, Batch, Bottles
    from entryprep.records.brewer import Brewer
    from entryprep.records.competition import Category, Competition
    from entryprep.records.entry import Entry
    from entryprep.records.recipe import Recipe
    from entryprep.tables.style import Style
    from entryprep.tables.styles import AmbiguousStyle, StyleTable, UnknownStyle, load_styles
    from entryprep.vitals import Reading, Vitals

__version__ = "0.1.0"

_HOMES = {
    "Addition": "records.batch",
    "AmbiguousStyle": "tables.styles",
    "Batch": "records.batch",
    "Beer": "beer.beer",
    "Bottles": "records.batch",
    "Brewer": "records.brewer",
    "Category": "records.competition",
    "Competition": "records.competition",
    "Entry": "records.entry",
    "EntryprepError": "errors",
    "Finding": "findings",
    "Fit": "beer.fitting",
    "OutputError": "output",
    "Part": "beer.fitting",
    "QuantityError": "quantities",
    "Ranking": "beer.ranking",
    "Reading": "vitals",
    "Recipe": "records.recipe",
    "RecordError": "reading.yamltext",
    "Season": "entering.season",
    "Severity": "findings",
    "Style": "tables.style",
    "StyleTable": "tables.styles",
    "Suggestion": "beer.ranking",
    "UnknownStyle": "tables.styles",
    "Vitals": "vitals",
    "check": "entering.check",
    "draw_slips": "paper.bundle",
    "fit": "beer.asking",
    "load_styles": "tables.styles",
    "rank": "beer.asking",
    "read_recipe": "formats.opening",
    "read_season": "entering.season",
    "suggest": "beer.asking",
}

__all__ = [
    "Addition",
    "AmbiguousStyle",
    "Batch",
    "Beer",
    "Bottles",
    "Brewer",
    "Category",
    "Competition",
    "Entry",
    "EntryprepError",
    "Finding",
    "Fit",
    "OutputError",
    "Part",
    "QuantityError",
    "Ranking",
    "Reading",
    "Recipe",
    "RecordError",
    "Season",
    "Severity",
    "Style",
    "StyleTable",
    "Suggestion",
    "UnknownStyle",
    "Vitals",
    "check",
    "draw_slips",
    "fit",
    "load_styles",
    "rank",
    "read_recipe",
    "read_season",
    "suggest",
]


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'entryprep' has no attribute {name!r}")
    return getattr(import_module(f"entryprep.{_HOMES[name]}"), name)


def __dir__() -> list[str]:
    return __all__
