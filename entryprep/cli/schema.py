"""``schema``: JSON Schema of the records, from the models that check them."""

from __future__ import annotations

import sys

from entryprep.cli.boundary import UsageProblem
from entryprep.cli.show import json_text
from entryprep.reading.fields import Record
from entryprep.records.models import RECORD_MODELS
from entryprep.tables.stylerecord import Family


def run(record: str) -> None:
    """``entryprep schema``."""
    models = record_models()
    if record not in models:
        raise UsageProblem(f"there is no record called {record}", f"use one of {', '.join(models)}")
    schema = models[record].model_json_schema()
    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}
    sys.stdout.write(json_text(schema, indent=2) + "\n")


def record_models() -> dict[str, type[Record]]:
    """Models by the word the command takes."""
    from entryprep.tables.labelsheets import Sheet
    from entryprep.tables.sliplayouts import SlipLayout

    return {**RECORD_MODELS, "styles": Family, "sheet": Sheet, "slip": SlipLayout}
