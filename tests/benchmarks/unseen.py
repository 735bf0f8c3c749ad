"""Print how often beers that nobody tuned on are placed where a judge would: ``python -m tests.benchmarks.unseen``.

Two files, written before the program ran on any of their beers: special beers and hybrids, and plain beers.
Of each, the share whose first style is what the judge says (or would accept), the share in three; whether
anything told contradicts the answer; how many open answers have a question; whether the text for the judges
is complete at 100 and 50 characters; and shares against shares right.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from entryprep import Category, Competition, Entry, Season, StyleTable, load_styles
from entryprep.beer.beer import Beer
from entryprep.beer.ranking import CLOSE
from entryprep.entering.declaration import composed, missing_declarations
from tests.vectors.special import Judged, plain_beers, special_beers

EDGES = (0.0, 0.35, 0.5, 0.7, 0.8, 0.9, 1.01)
LENGTHS = (100, 50)
# what nobody but the brewer can say
OWN_WORDS = {"description", "carbonation", "sweetness", "product", "vitals"}


@dataclass(frozen=True)
class Found:
    """One beer as the program answers: its place among the answers, its share, and what is wrong with what is told."""

    judged: Judged
    place: int
    accepted: int
    top: str
    share: float
    contradictions: tuple[str, ...]
    open: bool
    asked: bool
    complete: tuple[bool, ...]


def answered(judged: Judged, table: StyleTable) -> Found:
    """What the program says of a beer, held against the judge."""
    beer = Beer.from_batch(judged.batch, table=table)
    order = [style.id for style, _ in beer.ranking.shares]
    style, share = beer.ranking.shares[0]
    return Found(
        judged,
        min(order.index(wanted) for wanted in judged.right),
        min(order.index(wanted) for wanted in (*judged.right, *judged.also)),
        style.id,
        share,
        tuple(contradictions(beer)),
        not beer.ranking.settled,
        bool(beer.questions),
        tuple(complete(beer, length) for length in LENGTHS),
    )


def contradictions(beer: Beer) -> Iterable[str]:
    """What is told of a beer that the first line does not say."""
    answer, shares = beer.placement, beer.ranking.shares
    if answer.style is None:
        if beer.ranking.none_share < shares[0][1]:
            yield "none of these, though a style is likelier"
        return
    listed = [style.id for style, share in shares if share * CLOSE >= shares[0][1]]
    if answer.style.id not in listed and not answer.declared:
        yield f"the first line says {answer.style.id}, the list {listed[0]}"
    sent = beer.route.to
    if sent and answer.style.id not in sent and not beer.own_to(answer.style):
        yield f"the first line says {answer.style.id}, the rule {sent[0]}"
    if answer.why and sent and answer.style.id in sent and answer.why != beer.route.why:
        yield "the reason is another rule's"


def complete(beer: Beer, length: int) -> bool:
    """Whether the text for the judges holds all that can be said from the records within so many characters."""
    style, batch = beer.placement.style, beer.batch
    if style is None or batch is None:
        return False
    cup = Competition(
        name="Any", declaration_length=length, categories=[Category(code="1", name="Any", styles=[style.id])]
    )
    entered = Season.build({"b": batch}, {"c": cup}, [Entry(batch="b", competition="c", category="1")]).entered[0]
    made = composed(entered, style, table=beer.table)
    unsaid = set() if batch.base or batch.style else {"base", "mixed-styles"}  # no record says on what it stands
    missing = set(missing_declarations(entered, style)) - OWN_WORDS - unsaid
    return len(made.text) <= length and not made.left_out and not missing


def measure(beers: Sequence[Judged]) -> list[Found]:
    """All beers of a file as the program answers."""
    table = load_styles()
    return [answered(judged, table) for judged in beers]


def calibration(found: Sequence[Found]) -> list[tuple[str, int, float, float]]:
    """By size of the first share: how many, the mean of what was said, and the share that was right or accepted."""
    rows = []
    for low, high in pairwise(EDGES):
        part = [each for each in found if low <= each.share < high]
        if part:
            said = sum(each.share for each in part) / len(part)
            rows.append((f"{low:.2f}", len(part), said, sum(each.accepted == 0 for each in part) / len(part)))
    return rows


def tell(name: str, found: Sequence[Found], write: Callable[[str], object]) -> None:
    """Print the figures of one file."""
    count = len(found)

    def share(hits: Iterable[bool]) -> str:
        number = sum(hits)
        return f"{number} of {count} ({number / count:.0%})"

    write(f"{name}\n")
    write(f"  first is what the judge says     {share(f.place == 0 for f in found)}\n")
    write(f"  first is said or accepted        {share(f.accepted == 0 for f in found)}\n")
    write(f"  what the judge says in three     {share(f.place < 3 for f in found)}\n")
    write(f"  said or accepted in three        {share(f.accepted < 3 for f in found)}\n")
    write(f"  contradictions                   {sum(len(f.contradictions) for f in found)}\n")
    opened = [f for f in found if f.open]
    write(f"  open answers with a question     {sum(f.asked for f in opened)} of {len(opened)}\n")
    for index, length in enumerate(LENGTHS):
        write(f"  text complete at {length:<4}            {share(f.complete[index] for f in found)}\n")
    for low, number, said, right in calibration(found):
        write(f"  share from {low}: {number:3} beers, said {said:.2f}, right {right:.2f}\n")
    sure = [f for f in found if f.share >= 0.9]
    if sure:
        write(f"  shares of 90 % and more: right in {sum(f.accepted == 0 for f in sure)} of {len(sure)}\n")


def main() -> None:
    """Print both files' figures; with ``--each`` also every beer that was missed."""
    out = sys.stdout
    files: dict[str, Sequence[Judged]] = {
        "special beers and hybrids": special_beers("special-beers-unseen.yaml"),
        "plain beers": plain_beers("plain-beers-unseen.yaml"),
    }
    for name, beers in files.items():
        found = measure(beers)
        tell(name, found, out.write)
        if "--each" in sys.argv:
            for each in found:
                if each.accepted or each.contradictions:
                    wanted = ", ".join(each.judged.right)
                    told = "; ".join(each.contradictions)
                    out.write(f"    {each.judged.name}: {wanted}; found {each.top} ({each.share:.0%}) {told}\n")


if __name__ == "__main__":
    main()
