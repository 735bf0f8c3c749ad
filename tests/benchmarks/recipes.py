"""Times of predicting, reading recipes and inverting gravities: ``python -m tests.benchmarks.recipes``."""

from __future__ import annotations

import json
import sys
import timeit
from collections.abc import Callable
from statistics import median
from typing import Any
from unittest.mock import patch

from entryprep.beer.forecast import forecast
from entryprep.brewing.gravity import sg_from_plato
from entryprep.brewing.prediction import predict
from entryprep.formats.beerjson import read_beerjson
from entryprep.formats.draft import Draft
from entryprep.records.batch import Batch
from entryprep.tables.shipped import shipped_file


def microseconds(call: Callable[[], object], number: int = 200) -> float:
    """Median of nine rounds, microseconds for one call."""
    call()
    return median(timeit.repeat(call, number=number, repeat=9)) / number * 1e6


def drafted(content: bytes) -> dict[str, Any]:
    """What the reader hands to the model: the plain values of a batch."""
    kept: dict[str, Any] = {}
    finish = Draft.finish

    def keep(self: Draft, *more: Any) -> Any:
        kept.update(self.data)
        return finish(self, *more)

    with patch.object(Draft, "finish", keep):
        read_beerjson(content, "r.json")
    return kept


def main() -> None:
    """Measure and print."""
    show = sys.stdout.write
    content = shipped_file("templates/demo/recipes/lovfall.json")
    data = drafted(content)
    expected = forecast(read_beerjson(content, "r.json").batch)
    if expected is None:
        raise SystemExit("the demo's recipe predicts nothing")
    plan = expected.plan
    loaded = microseconds(lambda: json.loads(content))
    checked = microseconds(lambda: Batch.model_validate(data))
    read = microseconds(lambda: read_beerjson(content, "r.json"))
    show(f"predicting, 4 fermentables and 2 hops: {microseconds(lambda: predict(plan)) / 1000:.3f} ms\n")
    show(f"a gravity from its extract: {microseconds(lambda: sg_from_plato(12.3)):.1f} us\n")
    show(f"json.loads {loaded:.0f} us, model validation {checked:.0f} us, reading a recipe {read:.0f} us: ")
    show(f"{read / (2 * loaded + checked):.2f} x (2 json.loads + validation)\n")


if __name__ == "__main__":
    main()
