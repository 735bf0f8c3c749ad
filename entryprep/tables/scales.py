"""The scale a competition scores by: its parts and their points, the least score, the spread allowed, the bands."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Annotated

from pydantic import Field, model_validator

from entryprep.reading.fields import Number, Record, Text, refuse
from entryprep.reading.files import read_yaml, unusable
from entryprep.reading.validate import validate
from entryprep.reading.yamltext import Document, RecordError
from entryprep.tables.shipped import shipped_document, shipped_names

PARTS = ("aroma", "appearance", "flavour", "mouthfeel", "overall")
Points = Annotated[Number, Field(gt=0, le=1000)]


class Band(Record):
    """A name for scores from a limit on."""

    from_: Annotated[Number, Field(alias="from", ge=0, le=1000)]
    name: Text


class Scale(Record):
    """A scale: points for each part, or one ``total``; steps; ``spread`` is the most two judges may lie apart."""

    name: Text
    parts: dict[str, Points] = Field(default={}, description="Points by part.")
    total: Points | None = None
    step: Points = 1.0
    floor: Annotated[Number, Field(ge=0, le=1000)] = 0.0
    spread: Points
    bands: tuple[Band, ...] = ()

    @model_validator(mode="after")
    def _whole(self) -> Scale:
        unknown = [part for part in self.parts if part not in PARTS]
        if unknown:
            raise refuse(f"{unknown[0]} is not a part", f"parts known: {', '.join(PARTS)}")
        if not self.parts and self.total is None:
            raise refuse("the scale has neither parts nor a total", "give `parts:` or `total:`")
        if self.parts and self.total is not None and abs(sum(self.parts.values()) - self.total) > 1e-9:
            raise refuse(f"the parts add up to {sum(self.parts.values()):g}, not {self.total:g}", "correct one of them")
        if self.floor >= self.top or self.spread > self.top:
            raise refuse("floor and spread must be below the whole", f"the whole is {self.top:g}")
        return self

    @property
    def top(self) -> float:
        """The most points there are."""
        return self.total if self.total is not None else sum(self.parts.values())

    def band(self, score: float) -> str:
        """The name of a score; empty where the scale names none. Scores between two bands belong to the lower."""
        for band in sorted(self.bands, key=lambda b: -b.from_):
            if score >= band.from_:
                return band.name
        return ""

    def fits(self, value: float, most: float) -> bool:
        """Whether a value is a number of steps from 0 to ``most``."""
        steps = value / self.step
        return 0 <= value <= most and abs(steps - round(steps)) < 1e-6


@lru_cache(maxsize=8)
def load_scale(name: str) -> Scale:
    """A shipped scale by name (fifty, hundred, twenty) or one of the user's own by its file.

    Raises RecordError for a scale nobody knows and for every problem of a file.
    """
    known = [file.removesuffix(".yaml") for file in shipped_names("templates/receiving/scales")]
    if name in known:
        return _checked(shipped_document(f"templates/receiving/scales/{name}.yaml"))
    if not name.endswith((".yaml", ".yml")):
        raise unusable(
            "--scale", f"{name[:60]} is no scale known here", f"use {', '.join(known)}, or a YAML file of yours"
        )
    return _checked(read_yaml(Path(name)))


def _checked(document: Document) -> Scale:
    scale, problems = validate(document, Scale)
    if scale is None:
        raise RecordError(problems)
    return scale
