"""What each rule says, of what, where, and how to mend it: the findings of all cases against sentences read by people.

``findings.txt`` holds four lines for each: rule, severity and place; what it is about; what was found; how to mend it.
An ellipsis ends a line of which the rest hangs on the shipped table of styles.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.entering.test_check_rules import CASES, findings

WANTED = (Path(__file__).parent / "findings.txt").read_text(encoding="utf-8").splitlines()


def produced(folder: Path) -> Iterator[tuple[str, ...]]:
    for number, (rule, _, fires, _) in enumerate(CASES):
        for f in findings(folder / str(number), fires):
            if f.rule == rule:
                place = f"{f.file}:{f.line}:{f.column} {f.path or '-'}"
                yield f"{f.rule} {f.severity.value} {place}", f.about, f.what, f.fix


def test_every_rule_says_what_where_and_how_to_mend_it(tmp_path: Path) -> None:
    found = list(dict.fromkeys(produced(tmp_path)))
    blocks = [tuple(line.strip() for line in WANTED[i : i + 4]) for i in range(0, len(WANTED), 4)]
    assert len(blocks) >= 100
    missing = [block for block in blocks if not any(_same(block, said) for said in found)]
    assert missing == []


def _same(block: tuple[str, ...], said: tuple[str, ...]) -> bool:
    pairs = zip(block, said, strict=True)
    return all(s.startswith(w.removesuffix("…")) if w.endswith("…") else s == w for w, s in pairs)


def _plato(sg: float) -> float:
    """The cubic of the American Society of Brewing Chemists, written out (it is in any table of formulas)."""
    return -616.868 + 1111.14 * sg - 630.272 * sg**2 + 135.997 * sg**3


def _strength(og: float, fg: float) -> float:
    """Balling's strength in % by volume, from H. Rudolph, "Berechnung des Alkoholgehalts"."""
    oe, ae = _plato(og), _plato(fg)
    return (oe - (0.1808 * oe + 0.8192 * ae)) / (2.0665 - 0.010665 * oe) * fg / 0.794


@pytest.mark.parametrize(
    ("og", "fg", "limit", "words"),
    [
        (1.063, 1.012, 5.8, "strength 6.8 % is 1.0 % over the range of Quill Amber (4.6 % to 5.8 %)"),
        (1.070, 1.012, 5.8, "strength 7.7 % is 1.9 % over the range of the base Quill Amber (4.6 % to 5.8 %)"),
        (1.050, 1.012, 6.0, "5.0 % is 1.0 % under the limits of category A (6.0 % to 9.0 %)"),
        (1.050, 1.012, 5.1, "5.0 % is 0.1 % under the limits of category A (5.1 % to 9.0 %)"),
    ],
)
def test_the_standard_errors_of_strength_are_those_of_two_hydrometer_readings(
    og: float, fg: float, limit: float, words: str
) -> None:
    """0.001 on each gravity, by differences; and 0.3 % for the equation itself where 100 points ferment, with their
    square (published equations differ by that much; common practice)."""
    by_og = (_strength(og + 0.0005, fg) - _strength(og - 0.0005, fg)) / 0.001 * 0.001
    by_fg = (_strength(og, fg + 0.0005) - _strength(og, fg - 0.0005)) / 0.001 * 0.001
    error = math.hypot(by_og, by_fg, 0.3 * ((og - fg) / 0.100) ** 2)
    (line,) = {line.strip() for line in WANTED if line.strip().startswith(words)}
    assert (
        line
        == f"{words}, {abs(_strength(og, fg) - limit) / error:.1f} times the standard error of a calculated strength"
    )
