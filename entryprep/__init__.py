"""Entry preparation for judged beer competitions: fit, ranking, checks, slips and lists.

The names below are loaded when first used, so that importing the package costs next to nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from entryprep.findings import Finding, Severity
    from entryprep.matching.assessing import Assessed, assessed
    from entryprep.matching.fitting import Fit, Part, fit
    from entryprep.matching.ranking import Ranking, Suggestion, rank, suggest
    from entryprep.matching.vitals import Reading, Vitals
    from entryprep.quantities import QuantityError
    from entryprep.records.batch import Batch
    from entryprep.records.formats.opening import read_recipe
    from entryprep.records.season import Season, read_season
    from entryprep.records.style import Style
    from entryprep.records.table import AmbiguousStyle, StyleTable, UnknownStyle, load_styles
    from entryprep.records.yamltext import RecordError

__version__ = "0.1.0"

_HOMES = {
    "AmbiguousStyle": "records.table",
    "Assessed": "matching.assessing",
    "Batch": "records.batch",
    "Finding": "findings",
    "Fit": "matching.fitting",
    "Part": "matching.fitting",
    "QuantityError": "quantities",
    "Ranking": "matching.ranking",
    "Reading": "matching.vitals",
    "RecordError": "records.yamltext",
    "Season": "records.season",
    "Severity": "findings",
    "Style": "records.style",
    "StyleTable": "records.table",
    "Suggestion": "matching.ranking",
    "UnknownStyle": "records.table",
    "Vitals": "matching.vitals",
    "assessed": "matching.assessing",
    "fit": "matching.fitting",
    "load_styles": "records.table",
    "rank": "matching.ranking",
    "read_recipe": "records.formats.opening",
    "read_season": "records.season",
    "suggest": "matching.ranking",
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
