"""What each rule says, of what, where, and how to mend it: the findings of all cases against sentences read by people.

``findings.txt`` holds four lines for each: rule, severity and place; what it is about; what was found; how to mend it.
An ellipsis ends a line of which the rest hangs on the shipped table of styles.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

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
