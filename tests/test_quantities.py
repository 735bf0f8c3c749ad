"""Quantities as people write them. Unit factors: exact legal definitions of the US gallon and the pound."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from entryprep.quantities import KINDS, QuantityError, parse


@pytest.mark.parametrize(
    ("value", "kind", "inner"),
    [
        (1.052, "gravity", 1.052),
        ("1.052", "gravity", 1.052),
        ("1.052 SG", "gravity", 1.052),
        ("12.0 °P", "gravity", 1.0484),  # textbook ASBC pair, from memory
        ("15 Plato", "gravity", 1.0611),  # textbook ASBC pair, from memory
        ("10 °Brix", "gravity", 1.0400),  # textbook ASBC pair, from memory
        ("19 L", "volume", 19.0),
        ("5 gal", "volume", 18.92705892),  # 1 US gal = 3.785411784 L exactly
        ("12 fl oz", "volume_ml", 354.88235),
        ("330 ml", "volume_ml", 330.0),
        ("33 cl", "volume_ml", 330.0),
        ("1 lb", "mass", 0.45359237),  # exactly
        ("4 oz", "mass_g", 113.398093),
        ("68 °F", "temperature", 20.0),
        ("-5 C", "temperature", -5.0),
        ("24 EBC", "colour", 12.1827),
        (" 35  IBU ", "bitterness", 35.0),
        ("5.2 %", "alcohol", 5.2),
        ("5.2% ABV", "alcohol", 5.2),
        ("2.5 volumes", "carbonation", 2.5),
        ("9.1 in", "length_mm", 231.14),
        ("2 weeks", "days", 14.0),
        ("15 º C".replace("º C", "ºC"), "temperature", 15.0),
    ],
)
def test_reads_what_people_write(value: object, kind: str, inner: float) -> None:
    assert parse(value, kind) == pytest.approx(inner, rel=4e-5)


@pytest.mark.parametrize(
    ("value", "kind", "said", "hint"),
    [
        (1052, "gravity", "1052 is not a specific gravity", "Did you mean 1.052?"),
        ("1052", "gravity", "1052 is not a specific gravity", "Did you mean 1.052?"),
        (12.5, "gravity", "12.5 is not a specific gravity", "Did you mean 12.5 °P? Write the unit."),
        ("12,5 °P", "gravity", "12,5 °P has a decimal comma", "write 12.5 °P, with a point"),
        (-3, "bitterness", "-3 is not a bitterness", "expected 0 to 300, such as 35 IBU"),
        (math.nan, "colour", "nan is not a number that can be used", "write 12 SRM or 24 EBC"),
        ("inf", "colour", "inf is not a number that can be used", "write 12 SRM or 24 EBC"),
        (10**400, "colour", "…", "write 12 SRM or 24 EBC"),
        (True, "alcohol", "true is not an alcohol content", "write 5.2 %"),
        (None, "alcohol", "none is not an alcohol content", "write 5.2 %"),
        ("strong", "alcohol", "strong is not an alcohol content", "write 5.2 %"),
        ("5 stone", "mass", "5 stone: stone is not a unit for a mass", "use one of kg"),
        (12, "volume_ml", "12 is not a bottle or glass size", "Did you mean 12 L or 12 fl oz? Write the unit."),
        ("50 °P", "gravity", "50 °P is not a specific gravity", "expected 0.98 to 1.2"),
    ],
)
def test_refuses_with_a_hint(value: object, kind: str, said: str, hint: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(value, kind)
    assert said in caught.value.message
    assert hint in caught.value.fix


@given(st.one_of(st.text(max_size=60), st.floats(), st.integers(), st.booleans()), st.sampled_from(sorted(KINDS)))
def test_anything_is_a_plausible_number_or_a_clear_refusal(value: object, kind: str) -> None:
    try:
        number = parse(value, kind)
    except QuantityError as error:
        assert error.message
        assert len(error.message) < 200
    else:
        assert KINDS[kind].low <= number <= KINDS[kind].high
