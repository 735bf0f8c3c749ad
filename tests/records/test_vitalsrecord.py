"""Readings as people write them, a refractometer's among them."""

from __future__ import annotations

from typing import Any

import pytest

from entryprep.beer.readings import batch_vitals
from entryprep.brewing.gravity import plato_from_sg
from entryprep.brewing.refractometer import fg_from_brix, og_from_brix
from entryprep.reading.validate import validate
from entryprep.reading.yamltext import parse_yaml
from entryprep.records.batch import Batch


def measured(text: str) -> Any:
    batch, problems = validate(parse_yaml(f"name: x\nmeasured: {text}\n".encode(), "b.yaml"), Batch)
    return batch.measured if batch else [f.text for f in problems]


def test_a_refractometer_is_corrected_for_wort_and_alcohol() -> None:
    got = measured("{og: {brix: 12.5}, fg: {brix: 6.2 °Bx, wort_factor: 1.03}}")
    assert got.og.value == og_from_brix(12.5)
    assert got.fg.value == fg_from_brix(12.5, 6.2, 1.03)
    assert (got.og.by, got.fg.by) == ("refractometer", "refractometer")


def test_a_hydrometer_before_and_a_refractometer_after() -> None:
    got = measured("{og: 1.0485 ± 0.001, fg: {brix: 6.2}}")
    assert got.fg.value == pytest.approx(fg_from_brix(plato_from_sg(1.0485) * 1.04, 6.2))


def test_the_errors_are_those_of_a_refractometer() -> None:
    batch = Batch.model_validate({"name": "x", "measured": {"og": {"brix": 12.5}, "fg": {"brix": 6.2}}})
    got = batch_vitals(batch).known
    assert (got["og"].error, got["fg"].error) == (0.0015, 0.003)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("{og: 1.050, fg: 6.2 °Brix}", "which alcohol falsifies"),
        ("{og: 1.050, fg: {value: 6.2 Bx, by: refractometer}}", "which alcohol falsifies"),
        ("{fg: {brix: 6.2}}", "needs the og"),
        ("{og: {brix: 12}, fg: {brix: 14}}", "above"),
        ("{og: {brix: 12, value: 1.048}}", "both a value and °Brix"),
        ("{og: {brix: 12, by: hydrometer}}", "not with hydrometer"),
        ("{og: {brix: 80}}", "not a refractometer reading"),
        ("{og: {brix: 12, wort_factor: 2}}", "wort correction factor"),
        ("{og: {brix: 12, wort_factor: red}}", "red"),
        ("{og: {brix: [1]}}", "refractometer reading"),
    ],
)
def test_what_a_refractometer_cannot_say_is_refused(text: str, words: str) -> None:
    said = measured(text)
    assert isinstance(said, list)
    assert any(words in line for line in said), said
    assert all(line.startswith("b.yaml:2:") for line in said)


def test_a_hydrometer_with_a_brix_scale_is_taken_as_it_reads() -> None:
    got = measured("{og: 12 °Brix, fg: {value: 2.5 °Brix, by: hydrometer}}")
    assert got.fg.value == pytest.approx(
        1.0098, abs=0.0002
    )  # USDA table 135-A-50: 2.5 °Bx lies between 1.0097 and 1.0098
