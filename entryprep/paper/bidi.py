"""Writing from right to left: the order on paper (Unicode Standard Annex 9) and the joining of Arabic letters.

What is needed for names and short notes on one line: the implicit levels of the annex with its paired brackets, without
explicit embeddings (records refuse their marks). ``tests/paper/test_bidi.py`` holds it against python-bidi.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Container, Iterator
from functools import lru_cache

STRONG = {"L": 0, "R": 1, "AL": 1}
NO_MARKS = {0x200E: None, 0x200F: None}
MIRRORED = dict(zip("()[]{}<>«»‹›", ")(][}{><»«›‹", strict=True))
PAIRS = {"(": ")", "[": "]", "{": "}"}  # what is paired by rule N0; quotation marks and angles are not
MOST_OPEN = 63  # of brackets at one place (BD16)
_FIRST, _LAST = 0xFB50, 0xFEFC  # the blocks of Arabic presentation forms


def turned(line: str, known: Container[int]) -> str:
    """A line in the order in which it is drawn from left to right, Arabic letters in their joined forms.

    ``known`` holds the code points that can be drawn; a form that is not among them is left alone.
    """
    if not any(unicodedata.bidirectional(c) in {"R", "AL"} for c in line):
        return line.translate(NO_MARKS)
    return reordered(joined(line, known)).translate(NO_MARKS)


def reordered(text: str) -> str:
    """The letters of a line in the order in which they are drawn, brackets mirrored where they run from the right."""
    clusters = _clusters(text)
    kinds = [unicodedata.bidirectional(cluster[0]) for cluster in clusters]
    base = next((STRONG[kind] for kind in kinds if kind in STRONG), 0)
    levels = _levels(kinds, base, clusters)
    shown = [_mirrored(c) if level % 2 else c for c, level in zip(clusters, levels, strict=True)]
    for level in range(max(levels), 0, -1):  # L2: from the highest level down, turn every stretch at or above it
        start = 0
        while start < len(shown):
            if levels[start] < level:
                start += 1
                continue
            end = start
            while end < len(shown) and levels[end] >= level:
                end += 1
            shown[start:end] = shown[start:end][::-1]
            levels[start:end] = levels[start:end][::-1]
            start = end
    return "".join(shown)


def led(lines: list[str], text: str) -> list[str]:
    """The lines a text was broken into; one that would begin in the other direction than the text gets a mark.

    The mark has no width; ``turned`` takes it out again.
    """
    base = _direction(text)
    return [line if _direction(line) == base else ("\u200f" if base else "\u200e") + line for line in lines]


def _direction(text: str) -> int:
    """0 where the first strong letter runs from left to right, or there is none; else 1 (rules P2 and P3)."""
    return next((STRONG[k] for k in map(unicodedata.bidirectional, text) if k in STRONG), 0)


def _clusters(text: str) -> list[str]:
    """Letters with the marks that stand on them."""
    made: list[str] = []
    for letter in text:
        if made and unicodedata.bidirectional(letter) == "NSM":
            made[-1] += letter
        else:
            made.append(letter)
    return made


def _mirrored(cluster: str) -> str:
    return MIRRORED.get(cluster, cluster)


def _levels(kinds: list[str], base: int, clusters: list[str]) -> list[int]:
    """The level of each, by the rules I1 and I2; white space at the end is the line's (L1)."""
    first = list(kinds)
    kinds = _settled(_bracketed(_weak(kinds, base), base, clusters), base)
    end = len(kinds)
    while end and first[end - 1] in {"WS", "S", "B"}:
        end -= 1
    raised = {"L": 2 * base, "R": 1, "EN": 2, "AN": 2}
    return [raised[kind] for kind in kinds[:end]] + [base] * (len(kinds) - end)


def _weak(kinds: list[str], base: int) -> list[str]:
    """Rules W2 to W7: numbers and what belongs to them."""
    kinds = list(kinds)
    last = "R" if base else "L"
    for i, kind in enumerate(kinds):  # W2, W3
        if kind in STRONG:
            last = kind
        elif kind == "EN" and last == "AL":
            kinds[i] = "AN"
    kinds = ["R" if kind == "AL" else kind for kind in kinds]
    for i in range(1, len(kinds) - 1):  # W4
        same = kinds[i - 1] == kinds[i + 1]
        if same and ((kinds[i] in {"ES", "CS"} and kinds[i - 1] == "EN") or (kinds[i], kinds[i - 1]) == ("CS", "AN")):
            kinds[i] = kinds[i - 1]
    for i in [*range(len(kinds)), *reversed(range(len(kinds)))]:  # W5, forward and back
        near = {kinds[j] for j in (i - 1, i + 1) if 0 <= j < len(kinds)}
        if kinds[i] == "ET" and "EN" in near:
            kinds[i] = "EN"
    last = "R" if base else "L"
    for i, kind in enumerate(kinds):  # W6, W7
        if kind in {"L", "R"}:
            last = kind
        elif kind in {"ES", "ET", "CS"}:
            kinds[i] = "ON"
        elif kind == "EN" and last == "L":
            kinds[i] = "L"
    return kinds


def _bracketed(kinds: list[str], base: int, clusters: list[str]) -> list[str]:
    """Rule N0: a pair of brackets takes the direction of what it holds, or of what it stands in."""
    kinds = list(kinds)
    own = "R" if base else "L"
    for start, end in sorted(_bracket_pairs(kinds, clusters)):
        inside = {_side(kind) for kind in kinds[start + 1 : end] if kind in {"L", "R", "EN", "AN"}}
        if own in inside:
            side = own
        elif inside:
            before = next((_side(k) for k in reversed(kinds[:start]) if k in {"L", "R", "EN", "AN"}), own)
            side = before if before != own else own
        else:
            continue
        kinds[start] = kinds[end] = side
    return kinds


def _bracket_pairs(kinds: list[str], clusters: list[str]) -> Iterator[tuple[int, int]]:
    """Brackets that belong together (BD16); one that is not of a neutral kind any more is no bracket."""
    opened: list[tuple[str, int]] = []
    for place, cluster in enumerate(clusters):
        if kinds[place] != "ON":
            continue
        if cluster[0] in PAIRS:
            if len(opened) == MOST_OPEN:
                return
            opened.append((PAIRS[cluster[0]], place))
        elif any(closing == cluster[0] for closing, _ in opened):
            while opened[-1][0] != cluster[0]:
                opened.pop()
            yield opened.pop()[1], place


def _settled(kinds: list[str], base: int) -> list[str]:
    """Rules N1 and N2: what has no direction takes that of its neighbours, or the line's."""
    own = "R" if base else "L"
    i = 0
    while i < len(kinds):  # N1, N2
        end = i
        while end < len(kinds) and kinds[end] not in {"L", "R", "EN", "AN"}:
            end += 1
        if end > i:
            before = _side(kinds[i - 1]) if i else own
            after = _side(kinds[end]) if end < len(kinds) else own
            kinds[i:end] = [before if before == after else own] * (end - i)
        i = max(end, i + 1)
    return kinds


def _side(kind: str) -> str:
    return "L" if kind == "L" else "R"


def joined(text: str, known: Container[int]) -> str:
    """Arabic letters in the form that joins them to their neighbours (Unicode Standard, section 9.2), in their order.

    Only forms in ``known`` are used; a lam before an alef is joined with it into one.
    """
    if not any("\u0620" <= c <= "\u06ff" for c in text):
        return text
    forms = _forms()
    made: list[str] = []
    letters = list(text)
    i = 0
    while i < len(letters):
        letter = letters[i]
        before = _joins(_neighbour(letters, i, -1), "initial")
        pair = letter + letters[i + 1] if i + 1 < len(letters) else ""
        if pair in forms:
            form = forms[pair].get("final" if before else "isolated", "")
            if form and ord(form) in known:
                made.append(form)
                i += 2
                continue
        after = _joins(letter, "initial") and _joins(_neighbour(letters, i, 1), "final")
        name = "medial" if before and after else "final" if before else "initial" if after else "isolated"
        form = forms.get(letter, {}).get(name, letter)
        made.append(form if ord(form) in known else letter)
        i += 1
    return "".join(made)


def _neighbour(letters: list[str], place: int, step: int) -> str:
    """The next letter in a direction, marks left out; "" at the end."""
    place += step
    while 0 <= place < len(letters) and unicodedata.bidirectional(letters[place]) == "NSM":
        place += step
    return letters[place] if 0 <= place < len(letters) else ""


def _joins(letter: str, form: str) -> bool:
    """Whether a letter has a form that joins to the letter after it ("initial") or before it ("final")."""
    return letter == "\u0640" or form in _forms().get(letter, {})


@lru_cache(maxsize=1)
def _forms() -> dict[str, dict[str, str]]:
    """The presentation forms by their letter, or pair of letters, from the Unicode character database."""
    found: dict[str, dict[str, str]] = {}
    for code in range(_FIRST, _LAST + 1):
        name, *letters = unicodedata.decomposition(chr(code)).split()[:3] or [""]
        if name in {"<isolated>", "<final>", "<initial>", "<medial>"}:
            text = "".join(chr(int(letter, 16)) for letter in letters)
            if len(text) == 1 or (len(text) == 2 and text[0] == "\u0644" and text[1] in "\u0622\u0623\u0625\u0627"):
                found.setdefault(text, {}).setdefault(name.strip("<>"), chr(code))
    return found
