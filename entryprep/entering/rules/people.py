"""What of a season's own people must not stand where a judge reads."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

from entryprep.records.anonymity import Detector, Found, blacked_out
from entryprep.records.batch import Batch
from entryprep.records.brewer import Brewer
from entryprep.records.identity import Identity
from entryprep.tables.namewords import name_words
from entryprep.tables.styles import StyleTable
from entryprep.text import fold


@dataclass
class Telling:
    """Finds in a text what tells whose a beer is: the brewer's names and ways to reach, and the beer's own name."""

    brewer: Brewer | None
    table: StyleTable
    _detector: Detector | None = field(default=None, init=False)

    def found(self, text: str, batch: Batch) -> tuple[Found, ...]:
        """What in a text tells whose it is; what was added to the beer may be named whatever the brewer is called."""
        if self._detector is None:
            self._detector = Detector(self.table)
        entrant = identity_of(self.brewer, batch.name)
        return self._detector.find(text, entrant, added_words(batch, entrant))

    def blinded(self, text: str, batch: Batch) -> str:
        """A text as a judge may read it, with bars in place of what was found."""
        return blacked_out(text, self.found(text, batch)) if text else text


def identity_of(brewer: Brewer | None, beer: str) -> Identity:
    """Who entered a beer of this name."""
    if brewer is None:
        return Identity(beers=(beer,))
    return Identity(
        brewers=(brewer.name,),
        co_brewers=tuple(brewer.co_brewers),
        breweries=_given(brewer.brewery),
        clubs=_given(brewer.club),
        places=tuple(brewer.address),
        beers=(beer,),
        contacts=_given(brewer.email) + _given(brewer.phone),
    )


def _given(text: str | None) -> tuple[str, ...]:
    return (text,) if text else ()


def added_words(batch: Batch, entrant: Identity) -> frozenset[str]:
    """The words of what was added to a beer, as far as they mean a thing rather than the entrant.

    "rosemary" and "vane berries" by Rosemary Vane are things; "cardamom of Rosemary Vane" and "Vane's cardamom" tell
    whose garden it grew in.
    """
    own = {
        word
        for kind in (entrant.brewers, entrant.co_brewers, entrant.breweries, entrant.clubs, entrant.places)
        for name in kind
        for word in fold(name).split()
    }
    allowed: set[str] = set()
    for addition in batch.additions or ():
        words = fold(addition.what).split()
        named = {word for word in words if word in own and word not in name_words().ordinary}
        whole = len(own.intersection(words)) > 1 or any(a in named and b == "s" for a, b in pairwise(words))
        allowed |= set(words) - named if whole else set(words)
    return frozenset(allowed)
