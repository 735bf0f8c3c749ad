"""Two styles brought together: against the mean over every pair of styles, written out."""

from __future__ import annotations

import itertools
import math
import random

import pytest

from entryprep import Vitals, load_styles, rank
from entryprep.beer.mixing import GROUPS, SWAPS, mixed_shares
from entryprep.tables.style import TRAITS

NAMES = ("strength", "ibu", "srm", *TRAITS)


def test_the_swaps_share_out_everything_and_no_trait_is_forgotten() -> None:
    assert math.fsum(weight for weight, _ in SWAPS) == pytest.approx(1.0)
    assert {name for names in GROUPS.values() for name in names} == set(NAMES)
    assert all(set(groups) < set(GROUPS) for _, groups in SWAPS)


@pytest.mark.parametrize("seed", range(5))
def test_the_mean_over_all_pairs_is_the_product_of_two_means(seed: int) -> None:
    chance = random.Random(seed)
    count, known = 7, chance.sample(NAMES, 6)
    facts = {
        name: [[chance.uniform(0.01, 2) for _ in range(count)] for _ in range(chance.choice((1, 2)))] for name in known
    }
    others, own = [0, 2, 3, 5, 6], [1, 4] if seed % 2 else [4]
    for (weight, log), (wanted, groups) in zip(mixed_shares(facts, others, own, count), SWAPS, strict=True):
        taken = {name for group in groups for name in GROUPS[group]}
        pairs = [
            math.prod(column[other if name in taken else base] for name, columns in facts.items() for column in columns)
            for base, other in itertools.product(own, others)
        ]
        assert weight == wanted
        assert math.exp(log) == pytest.approx(sum(pairs) / len(pairs))


def test_a_black_saison_is_two_styles_in_one_and_a_saison_is_not() -> None:
    """Common practice: 34B of the 2021 guidelines takes known styles at another strength or colour."""
    table, traits = load_styles(), {"fermentation": "ale", "yeast": "spicy", "malt": "roasted"}
    black = rank(Vitals(og=1.054, fg=1.005, ibu=26, srm=34), traits, table, (), "saison")
    pale = rank(Vitals(og=1.054, fg=1.005, ibu=26, srm=5), {**traits, "malt": "grainy"}, table, (), "saison")
    assert black.shares[0][0].id == "mixed-style-beer"
    assert pale.shares[0][0].id == "saison"
