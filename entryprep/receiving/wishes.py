"""What a judge asks for, however it is worded: styles never, people never beside, hours away, beers a day.

Each clause is read by what it names; what names nothing that is known is told word by word, never passed over.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache

from entryprep.formats.cells import is_empty
from entryprep.receiving.sessions import EVENING, NOON, WEEKDAYS, Session, minutes
from entryprep.records.namereader import StyleNames
from entryprep.tables.style import Style
from entryprep.tables.vocabulary import named_in
from entryprep.tables.wishwords import common_words, wish_words
from entryprep.text import fold, singular

_CLAUSES = re.compile(r"\s*(?:[;\n,+]|\.(?=\s|$)|/(?!\d)|\b(?:and|but|und|aber|et|mais|y|pero)\b)\s*", re.IGNORECASE)
_TIME = re.compile(r"\b(\d{1,2})(?:[:.h](\d{2}))?\s*(am|pm|uhr|h|o clock)?\b", re.IGNORECASE)
_BEERS = r"(?:\s*(?:beers?|entries|samples|biere?|bières?|cervezas?|a day|per day|pro tag|par jour|al día))*"
STRONG_ABV, DARK_SRM = 7.5, 15.0  # from where on people call a beer so: common practice
_PARTS = {"morning": (0, NOON), "afternoon": (NOON, EVENING), "evening": (EVENING, 24 * 60)}


@cache
def _most() -> re.Pattern[str]:
    words = "|".join(sorted(map(re.escape, wish_words("most")), key=len, reverse=True))
    return re.compile(rf"\b(?:{words})\.?\s*(\d{{1,3}}){_BEERS}", re.IGNORECASE)


@dataclass
class Wishes:
    """What was read of one judge's wishes. ``absent`` are places of sessions; ``unread`` what names nothing known.

    ``here`` are sessions the judge says to be there for, ``partly`` those of a day of which only hours are named.
    """

    styles: set[str] = field(default_factory=set)
    away: set[str] = field(default_factory=set)
    apart: set[str] = field(default_factory=set)
    allergens: set[str] = field(default_factory=set)
    absent: set[int] = field(default_factory=set)
    here: set[int] = field(default_factory=set)
    partly: set[int] = field(default_factory=set)
    most: int = 0
    unread: list[str] = field(default_factory=list)
    timeless: list[str] = field(default_factory=list)


@dataclass
class WishReader:
    """Reads wishes against what there is: names of judges, groups and flights, styles, sessions."""

    names: StyleNames
    judges: Sequence[str] = ()
    groups: Iterable[str] = ()
    flights: Iterable[int] = ()
    sessions: Sequence[Session] = ()

    def __post_init__(self) -> None:
        self._people: dict[str, set[str]] = {}
        for judge in self.judges:
            whole = fold(judge)
            for key in {whole, *whole.split()}:
                if len(key) > 1:
                    self._people.setdefault(key, set()).add(whole)
        self._groups = {singular(fold(group)): fold(group) for group in self.groups}
        self._flights = {str(number) for number in self.flights}

    def read(self, texts: Mapping[str, str], own: str = "") -> Wishes:
        """The wishes in the fields ``away``, ``apart``, ``times``, ``most`` and ``wishes`` of the judge ``own``."""
        wishes = Wishes()
        for name in ("away", "apart", "times", "most", "wishes"):
            text = texts.get(name, "")
            if is_empty(text):
                continue
            if name == "most" and re.fullmatch(r"[0-9]{1,4}", text.strip()):
                wishes.most = int(text)
                continue
            for most in _most().finditer(text):
                wishes.most = int(most[1])
            self._clauses(_most().sub(" ", text), name, own, wishes)
        if wishes.here:  # who says when to be there is away for the rest
            wishes.absent |= set(range(len(self.sessions))) - wishes.here - wishes.partly
        return wishes

    def _clauses(self, text: str, column: str, own: str, wishes: Wishes) -> None:
        whole = text.strip(" .")
        if column == "away" and whole and self._style_of(whole, wishes):
            return
        before = ""
        for clause in _CLAUSES.split(text):
            words = fold(clause).split()
            if not words or is_empty(clause):
                continue
            before = self._clause(clause, words, column, own, before, wishes)
            if not before and set(words) - wish_words("filler") - wish_words("away"):
                wishes.unread.append(clause.strip())

    def _clause(self, clause: str, words: Sequence[str], column: str, own: str, before: str, wishes: Wishes) -> str:
        """What a clause is about, taken into the wishes; empty where it names nothing that is known."""
        here = set(words)
        if self._hours(words, clause, column, wishes):
            return "time"
        if here & wish_words("allergy") or before == "allergy":
            found = set(named_in(clause).allergens)
            wishes.allergens |= found
            if found:
                return "allergy"
        if column != "away" and here & wish_words("likes") and not here & wish_words("away"):
            return ""
        if self._person(words, own, before == "person" or column == "apart", wishes):
            return "person"
        return "style" if self._style_of(clause, wishes) else ""

    def _person(self, words: Sequence[str], own: str, meant: bool, wishes: Wishes) -> bool:
        """A judge that the clause names; a single name must be that of one person only."""
        plain = [word for word in words if word not in wish_words("filler")]
        me = fold(own)
        tries = [" ".join(plain[i:j]) for i in range(len(plain)) for j in range(len(plain), i, -1)]
        for key in tries:
            found = self._people.get(key, set()) - {me}
            if len(found) == 1 and (meant or " " in key or wish_words("with") & set(words) or len(plain) == 1):
                wishes.apart |= found
                return True
        return False

    def _style_of(self, clause: str, wishes: Wishes) -> bool:
        """Styles, a group of entries, a flight or an allergen that the clause names."""
        words = fold(clause).split()
        while words and words[0] in wish_words("filler") | wish_words("away"):
            words = words[1:]
        while words and words[-1] in wish_words("filler") | wish_words("only"):
            words = words[:-1]
        key = " ".join(words)
        plain = singular(key)
        if not key:
            return False
        if key in self._flights or (words[0] in {"flight", "table"} and words[-1] in self._flights):
            wishes.away.add(words[-1])
            return True
        group = self._groups.get(plain, "")
        wishes.away |= {group} if group else set()
        found = self.styles_named(key)
        wishes.styles |= found
        return bool(group or found)

    def styles_named(self, key: str) -> set[str]:
        """Ids of all styles that a word means: a style, several, a family, or what they have in common; may be none."""
        table = self.names.table
        plain = singular(key)
        for word in dict.fromkeys((key, plain, plain.removesuffix(" beer"))):
            if word in common_words():
                return {style.id for style in table if _COMMON[common_words()[word]](style)}
            named = table.of_family(word) or table.of_family(word + "s")
            if named:
                return {style.id for style in named}
        read = self.names.read(key)
        return set(read.candidates) if read.how in {"named", "read", "unsettled"} else set()

    def _hours(self, words: Sequence[str], clause: str, column: str, wishes: Wishes) -> bool:
        """Days and hours that the clause names: sessions that the judge is away for."""
        here = set(words)
        # the short names of days are words of other things elsewhere
        days = {day for word in here if len(word) > 2 or column == "times" if (day := _weekday(word)) is not None}
        part = next((hours for name, hours in _PARTS.items() if here & wish_words(name)), None)
        moving = here & _moving()
        at = NOON if here & wish_words("noon") else None
        match = _TIME.search(clause)
        if at is None and match and (match[2] or match[3] or moving):
            at = minutes(match[1], match[2], match[3])
        if not days and part is None and (at is None or not moving):
            return False
        if not self.sessions:
            wishes.timeless.append(clause.strip())
            return True
        away = {place for place, s in enumerate(self.sessions) if _is_away(s, days, part, at, here)}
        timed = at is not None and bool(moving)
        if timed or (here & wish_words("away") and not here & wish_words("only")):
            wishes.absent |= away
            wishes.partly |= {p for p, s in enumerate(self.sessions) if timed and s.weekday in days} - away
        else:
            wishes.here |= set(range(len(self.sessions))) - away
        return True


def _weekday(word: str) -> int | None:
    return WEEKDAYS.get(word, WEEKDAYS.get(word.removesuffix("s")))


def _moving() -> frozenset[str]:
    return wish_words("until") | wish_words("from") | wish_words("leaves") | wish_words("comes")


def _is_away(session: Session, days: set[int], part: tuple[int, int] | None, at: int | None, words: set[str]) -> bool:
    """Whether a judge who says so is away for a session, or for some of it."""
    away = bool(words & wish_words("away"))
    on_day = not days or session.weekday in days
    if at is not None and words & _moving():
        before = bool(words & wish_words("comes")) or bool(words & wish_words("until")) == away
        before = before and not words & wish_words("leaves")
        missed = session.start < at if before else session.end > at
        return missed if on_day else bool(words & wish_words("only"))
    within = part is None or part[0] <= (session.start + session.end) / 2 < part[1]
    if away and not words & wish_words("only"):
        return on_day and within
    return not (on_day and within)


def _lager(style: Style) -> bool:
    return style.traits.get("fermentation") == ("lager",)


def _sour(style: Style) -> bool:
    return "none" not in style.traits.get("sourness", ("none",)) or style.family in {"belgian-sour", "tart-ale", "wild"}


def _takes(kind: str) -> Callable[[Style], bool]:
    return lambda style: kind in style.takes or kind in style.takes_any or style.family == kind


def _strong(style: Style) -> bool:
    return "abv" in style.ranges and (style.ranges["abv"].low + style.ranges["abv"].high) / 2 >= STRONG_ABV


_COMMON: dict[str, Callable[[Style], bool]] = {
    "sour": _sour,
    "lager": _lager,
    "ale": lambda style: style.traits.get("fermentation") == ("ale",),
    "smoked": lambda style: _takes("smoke")(style) or style.traits.get("smoke") == ("present",),
    "fruit": _takes("fruit"),
    "spice": _takes("spice"),
    "wood": _takes("wood"),
    "strong": _strong,
    "dark": lambda style: "srm" in style.ranges and style.ranges["srm"].low >= DARK_SRM,
    "wild": lambda style: style.family == "wild" or style.traits.get("fermentation") == ("wild",),
    "ipa": lambda style: style.family == "ipa",
}
