"""Range bars in plain characters: the range between brackets, the beer as O."""

from __future__ import annotations

OUTER, INNER = 5, 11


def range_bar(value: float, low: float, high: float) -> str:
    """A bar of 23 characters: ``[`` and ``]`` at low and high, O the value, < or > when it is off the bar.

    The brackets span 11 characters; the dots on either side are half a range each.
    """
    cells = list("." * OUTER + "[" + "-" * INNER + "]" + "." * OUTER)
    width = high - low
    place = OUTER + (value - low) / width * (INNER + 1)
    if place < 0:
        cells[0] = "<"
    elif place > len(cells) - 1:
        cells[-1] = ">"
    elif value < low:
        cells[min(round(place), OUTER - 1)] = "O"
    elif value > high:
        cells[max(round(place), OUTER + INNER + 2)] = "O"
    else:
        cells[min(max(round(place), OUTER), OUTER + INNER + 1)] = "O"
    return "".join(cells)


def share_bar(share: float, width: int = 10) -> str:
    """A bar for a share of 0 to 1: ``####......``."""
    full = round(max(0.0, min(1.0, share)) * width)
    return "#" * full + "." * (width - full)
