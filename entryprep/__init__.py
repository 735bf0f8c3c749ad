"""Entry preparation for judged beer competitions: fit, ranking, checks, slips and lists.

The names below are loaded when first used, so that importing the package costs next to nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from entryprep.beer.beer import Assessed, assessed
    from entryprep.beer.fitting import Fit, Part, fit
    from entryprep.beer.ranking import Ranking, Suggestion, rank, suggest
    from entryprep.entering.season import Season, read_season
    from entryprep.findings import Finding, Severity
    from entryprep.formats.opening import read_recipe
    from entryprep.quantities import QuantityError
    from entryprep.reading.yamltext import RecordError
    from entryprep.records.batch import Batch
    from entryprep.tables.style import Style
    from entryprep.tables.styles import AmbiguousStyle, StyleTable, UnknownStyle, load_styles
    from entryprep.vitals import Reading, Vitals

__version__ = "0.1.0"

_HOMES = {
    "AmbiguousStyle": "tables.styles",
    "Assessed": "beer.beer",
    "Batch": "records.batch",
    "Finding": "findings",
    "Fit": "beer.fitting",
    "Part": "beer.fitting",
    "QuantityError": "quantities",
    "Ranking": "beer.ranking",
    "Reading": "beer.readings",
    "RecordError": "reading.yamltext",
    "Season": "entering.season",
    "Severity": "findings",
    "Style": "tables.style",
    "StyleTable": "tables.styles",
    "Suggestion": "beer.ranking",
    "UnknownStyle": "tables.styles",
    "Vitals": "beer.readings",
    "assessed": "beer.beer",
    "fit": "beer.fitting",
    "load_styles": "tables.styles",
    "rank": "beer.ranking",
    "read_recipe": "formats.opening",
    "read_season": "entering.season",
    "suggest": "beer.ranking",
}

__all__ = [
    "AmbiguousStyle",
    "Assessed",
    "Batch",
    "Finding",
    "Fit",
    "Part",
    "QuantityError",
    "Ranking",
    "Reading",
    "RecordError",
    "Season",
    "Severity",
    "Style",
    "StyleTable",
    "Suggestion",
    "UnknownStyle",
    "Vitals",
    "assessed",
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
