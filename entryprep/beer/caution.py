"""A caution of one beer: a rule that holds of it, before it has its words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Caution:
    """A rule that holds of a beer: its id, where in the record, the values of its words; ``milder``: a lesser case."""

    rule: str
    path: tuple[str | int, ...] = ()
    values: Mapping[str, object] = field(default_factory=dict)
    milder: bool = False
