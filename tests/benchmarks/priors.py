"""Print what the priors of rare and local styles do: ``python -m tests.benchmarks.priors``.

Hits at 1 and 3 with no priors, with the shipped ones and with stronger ones: on beers drawn from the
published table and from our own, each style as often as any other (which is against the priors: a rare style
is not brewed as often), and on the ten sample recipes. Told are vitals and fermentation, with all styles as
candidates.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping
from unittest.mock import patch

import yaml

from entryprep import Style, load_styles
from entryprep.beer import likelihood
from entryprep.beer.beer import Beer
from entryprep.records.batch import Batch
from tests.benchmarks.simulated import by_ranking, draw, hits
from tests.vectors import vector_path
from tests.vectors.published import Published, numbered_rows

EACH, SEED = 6, 41
SETTINGS: Mapping[str, Mapping[str, float]] = {
    "no priors": {"usual": 1.0, "local": 1.0, "rare": 1.0},
    "as shipped": dict(likelihood.PRIORS),
    "twice as strong": {"usual": 1.0, "local": 0.25, "rare": 0.25},
}
VITALS = ("og", "fg", "abv", "ibu", "srm")


def own_rows() -> tuple[list[Published], list[Style]]:
    """Our own table's styles as rows to draw from."""
    styles = [style for style in load_styles() if set(VITALS) <= style.ranges.keys()]
    return [Published(s.name, {v: (s.ranges[v].low, s.ranges[v].high) for v in VITALS}) for s in styles], styles


def sampled() -> tuple[float, float]:
    """Hits at 1 and 3 on the sample recipes, each without its declared style."""
    rows = yaml.safe_load(vector_path("sample-recipes.yaml").read_text(encoding="utf-8"))["recipes"]
    places = []
    for row in rows:
        beer = Beer.from_batch(Batch(name=row["name"], recipe=row["recipe"]))
        places.append([style.id for style, _ in beer.ranking.shares].index(row["style"]))
    return sum(place == 0 for place in places) / len(rows), sum(place < 3 for place in places) / len(rows)


def main() -> None:
    """Measure every setting on everything."""
    table, rows = load_styles(), numbered_rows()
    published = [table.find(row.name) for row in rows]
    mine, styles = own_rows()
    sets = {
        "published table": (list(draw(rows, published, EACH, SEED)), published),
        "our own table": (list(draw(mine, styles, EACH, SEED)), styles),
    }
    out = sys.stdout
    for name, priors in SETTINGS.items():
        with patch.dict(likelihood.PRIORS, priors), patch.dict(likelihood._KEPT, clear=True):
            cells = []
            for label, (beers, wanted) in sets.items():
                found = hits(beers, by_ranking(wanted, ("fermentation",), table))
                cells.append(f"{label} {found[0]:.3f} / {found[1]:.3f}")
            first, three = sampled()
            out.write(f"{name:16} {'; '.join(cells)}; sample recipes {first:.2f} / {three:.2f}\n")


if __name__ == "__main__":
    main()
