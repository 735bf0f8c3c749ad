"""Blind numbers: short, drawn from a seed, with a check digit, telling nothing about the order of arrival.

The check character is that of ISO/IEC 7064, MOD 11-2: it catches every single wrong digit and every two digits
swapped. Numbers whose check character would be X are not given out, nor such as read as another valid number
when the label hangs upside down.
"""

from __future__ import annotations

import hmac
from collections.abc import Iterable, Mapping

from entryprep.errors import EntryprepError
from entryprep.text import upside_down

LEAST_DIGITS = 3
ROOM = 3  # numbers in the drawing for each entry, so that neighbours say nothing
FULL = 0.8  # of the numbers of one length, up to which late arrivals get some of the same length
_USABLE = 10 / 11  # those whose check character is a digit


class NumberError(EntryprepError, ValueError):
    """A blind number that cannot be right; ``fix`` says what to do."""


def check_character(digits: str) -> str:
    """The ISO/IEC 7064 MOD 11-2 check character, a digit or X, of a text of digits. Raises ValueError for others."""
    if not (digits.isascii() and digits.isdigit()):
        raise ValueError(f"{digits[:40]} is not made of digits")
    product = 0
    for digit in digits:
        product = (product + int(digit)) * 2 % 11
    check = (12 - product) % 11
    return "X" if check == 10 else str(check)


def is_valid(number: str) -> bool:
    """Whether a number ends in the check character that belongs to it."""
    digits, last = number[:-1], number[-1:]
    return digits.isascii() and digits.isdigit() and bool(last) and check_character(digits) == last


def checked_number(text: str) -> str:
    """A blind number as typed, blanks taken out. Raises NumberError where its check digit does not belong to it."""
    number = "".join(text.split())
    if not is_valid(number):
        raise NumberError(f"{text.strip()[:20] or 'nothing'} is no blind number: its check digit is wrong", _LOOK_AGAIN)
    return number


_LOOK_AGAIN = "look at the label again: a digit was misread or two were swapped"


def digits_for(count: int) -> int:
    """How many digits, check digit aside, the numbers of ``count`` entries need."""
    digits = LEAST_DIGITS
    while 9 * 10 ** (digits - 1) * _USABLE < ROOM * count:
        digits += 1
    return digits


def drawn(entries: Iterable[str], seed: str, given: Mapping[str, str] | None = None) -> dict[str, str]:
    """A blind number for each entry (its key, unique), the same for the same entries and seed in whatever order.

    Entries in ``given`` keep the number they have, so that late arrivals change nothing. Raises ValueError for an
    empty seed.
    """
    if not seed.strip():
        raise ValueError("a seed is needed")
    kept = dict(given or {})
    wanted = [entry for entry in entries if entry not in kept]
    digits = _digits(len(kept) + len(wanted), kept)
    used = set(kept.values())
    secret = seed.encode()
    order = sorted(wanted, key=lambda entry: (_digest(secret, "order", entry), entry))
    numbers = {entry: kept[entry] for entry in kept}
    low, span = 10 ** (digits - 1), 9 * 10 ** (digits - 1)
    for entry in order:
        turn = 0
        while True:
            plain = str(low + int.from_bytes(_digest(secret, f"number {turn}", entry)[:8], "big") % span)
            number = plain + check_character(plain)
            if number not in used and number.isdigit() and not _misleads(number):
                break
            turn += 1
        used.add(number)
        numbers[entry] = number
    return numbers


def _digits(count: int, kept: Mapping[str, str]) -> int:
    """As many digits as the numbers given out have, while there is room: a longer number would tell who came late."""
    used = max((len(number) - 1 for number in kept.values()), default=0)
    fits = used >= LEAST_DIGITS and count <= FULL * 9 * 10 ** (used - 1) * _USABLE
    return used if fits else digits_for(count)


def _digest(secret: bytes, what: str, entry: str) -> bytes:
    return hmac.digest(secret, f"{what}\x1f{entry}".encode(), "sha256")


def _misleads(number: str) -> bool:
    """Whether it reads as another valid number upside down."""
    turned = upside_down(number)
    return turned is not None and turned != number and is_valid(turned)
