"""Ways to reach somebody that stand in a text: mail and web addresses, telephone numbers, names on social media."""

from __future__ import annotations

import re
from collections.abc import Iterator

from entryprep.records.nametext import camel_words
from entryprep.tables.namewords import name_words
from entryprep.text import fold

MAIL, PHONE, WEB, HANDLE = "an e-mail address", "a telephone number", "a web address", "a name on social media"
LEAST_DIGITS, MOST_DIGITS = 7, 15  # of a telephone number; E.164 has at most 15
_SAME_END = 8  # digits at the end in which two spellings of a telephone number agree
_AT, _DOT = r"\s?(?:@|[(\[{]\s?at\s?[)\]}])\s?", r"\s?(?:\.|[(\[{]\s?dot\s?[)\]}])\s?"
# bounded, and begun only where a word begins, so that no text takes more than a pass
_MAIL = re.compile(
    rf"(?<![\w.+-])[\w.+-]{{1,64}}{_AT}[\w-]{{1,63}}(?:{_DOT}[^\W\d_][\w-]{{0,62}}){{1,8}}", re.IGNORECASE
)
_SPELT = re.compile(
    r"(?<![\w.+-])[\w.+-]{1,64}\s{1,3}at\s{1,3}(?:[\w-]{1,63}(?:\.|\s{1,3}dot\s{1,3})){1,8}([a-z]{2,18})\b",
    re.IGNORECASE,
)
_WEB = re.compile(r"(?:https?://|www\.)[^\s,;()\[\]<>]{0,200}[^\s,;()\[\]<>.]", re.IGNORECASE)
_SITE = re.compile(r"(?<![\w.@-])((?:[\w-]{1,63}\.){1,8})([a-z]{2,7})(?![\w-])(?:/[^\s,;()\[\]<>]*)?", re.IGNORECASE)
_RUN = re.compile(r"[+(]{0,2}\d(?:[ ().\-/·–]{0,3}\d){5,}")
_AMERICAN = re.compile(r"(?<!\d)\(?\d{3}\)?[ .-]{1,2}\d{3}[ .-]\d{4}(?!\d)")
_TAG = re.compile(r"(?<![\w@#])[#@][^\W\d_][\w.-]{0,98}\w")

Place = tuple[int, int, str]


def contacts_in(text: str, phones: tuple[str, ...] = (), hosts: frozenset[str] = frozenset()) -> Iterator[Place]:
    """Start, end and kind of every way to reach somebody; ``phones`` are digits and ``hosts`` words that tell whose."""
    if any(mark in text for mark in ("@", "at", "AT", "At")):
        for match in _MAIL.finditer(text):
            yield match.start(), match.end(), MAIL
        for match in _SPELT.finditer(text):
            if match[1].casefold() in name_words().web_ends:
                yield match.start(), match.end(), MAIL
    if "." in text:
        yield from _webs(text, hosts)
    if any(c.isdigit() for c in text):
        yield from _phones(text, phones)


def _webs(text: str, hosts: frozenset[str]) -> Iterator[Place]:
    for match in _WEB.finditer(text):
        yield match.start(), match.end(), WEB
    words = name_words()
    for match in _SITE.finditer(text):
        labels, end = match[1].rstrip("."), match[2].casefold()
        first = fold(labels).split()
        said = [word for word in first if not word.isdigit() and len(word) > 2]
        cased = match[2].islower() or text.isupper()
        if not said or not cased:
            continue
        # a full stop without a space after it makes no address: "dry.no sugar"
        if (end in words.web_ends and not (len(said) == 1 and said[0] in words.ordinary)) or (
            end in words.web_ends_words and any(word in hosts for word in ("".join(first), *first))
        ):
            yield match.start(), match.end(), WEB


def national(phone: str) -> str:
    """The digits of a telephone number in which all its spellings end; empty where they are too few."""
    digits = "".join(c for c in phone if c.isdigit()).lstrip("0")
    return digits[-_SAME_END:] if len(digits) >= LEAST_DIGITS else ""


def _phones(text: str, own: tuple[str, ...]) -> Iterator[Place]:
    words = name_words()
    for match in _RUN.finditer(text):
        run = match[0]
        digits = "".join(c for c in run if c.isdigit())
        start, end = match.span()
        if any(number and number in digits for number in own) or (
            len(digits) <= MOST_DIGITS
            and (
                (
                    run[0] == "+"
                    and len(digits) >= LEAST_DIGITS + 1
                    and not text[max(0, start - 3) : start].rstrip()[-1:].isdigit()
                )
                or (run.isdigit() and len(run) >= 9)
                or (digits.startswith("00") and len(digits) >= 10)
                or (
                    len(digits) >= LEAST_DIGITS
                    and (fold(text[max(0, start - 16) : start]).split() or [""])[-1] in words.telephone
                )
            )
        ):
            yield start, end, PHONE
        else:
            yield from ((start + m.start(), start + m.end(), PHONE) for m in _AMERICAN.finditer(run))


def tags_in(text: str) -> Iterator[tuple[int, int, str]]:
    """Start, end and text of every ``#tag`` and ``@handle``."""
    if "#" in text or "@" in text:
        for match in _TAG.finditer(text):
            yield match.start(), match.end(), match[0]


def is_business_tag(tag: str, ordinary: frozenset[str]) -> bool:
    """Whether a tag joins an unknown word with one of the trade, as a brewery's does; any unknown handle is one."""
    pieces = camel_words(tag[1:])
    business = name_words().business
    unknown = [piece for piece in pieces if piece not in ordinary and piece not in business]
    if tag[0] == "@":
        return bool(unknown)
    return bool(unknown) and len(pieces) > 1 and any(piece in business for piece in pieces)
