"""Blending against published worked examples (sources beside the rows)."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from entryprep.brewing.blending import spirit_parts
from tests.vectors import vector_rows


@pytest.mark.parametrize("row", vector_rows("spirit.yaml"), ids=lambda row: row["source"])
def test_parts_as_published(row: dict[str, Any]) -> None:
    assert spirit_parts(row["base"], row["spirit"], row["target"]) == pytest.approx(tuple(row["parts"]))


@pytest.mark.parametrize("row", vector_rows("spirit.yaml", "amounts"), ids=lambda row: row["source"])
def test_amounts_as_published(row: dict[str, Any]) -> None:
    spirit, base = spirit_parts(row["base"], row["spirit"], row["target"])
    assert row["of_base"] * spirit / base == pytest.approx(row["of_spirit"], abs=row["digit"])


@given(st.floats(0, 14), st.floats(20, 96), st.floats(0, 1))
def test_alcohol_is_conserved(base: float, spirit: float, share: float) -> None:
    target = base + share * (spirit - base)
    of_spirit, of_base = spirit_parts(base, spirit, min(target, spirit))
    assert (of_spirit * spirit + of_base * base) / (of_spirit + of_base) == pytest.approx(target)


@pytest.mark.parametrize(
    "call",
    [
        lambda: spirit_parts(6, 40, 5),
        lambda: spirit_parts(6, 40, 50),
        lambda: spirit_parts(40, 40, 40),
        lambda: spirit_parts(-1, 40, 20),
        lambda: spirit_parts(6, 140, 20),
    ],
)
def test_impossible_blends_are_refused(call: Callable[[], object]) -> None:
    with pytest.raises(ValueError, match="between them"):
        call()
