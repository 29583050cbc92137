"""A mixture by drug: its verdict, and the products, alone or in twos, of which it is another one."""

from itertools import combinations

from drawndose import load
from drawndose.bench.compatibility import judge, part
from drawndose.bench.mixture_lookup import pair, products
from drawndose.reference import Verdict

BOOK = load()


def test_a_product_that_carries_something_is_named_alone() -> None:
    found = pair("albuterol", "colistimethate", BOOK)
    assert found is not None
    assert (found.of, found.judged.verdict) == (("albuterol", "colistimethate"), Verdict.COMPATIBLE)
    assert found.otherwise[0] == (("albuterol-0.5pct-bottle-20ml",), Verdict.INCOMPATIBLE)
    swapped = pair("colistimethate", "albuterol", BOOK)
    assert swapped is not None
    assert swapped.otherwise == found.otherwise


def test_two_products_are_named_together_where_each_differs_with_some_only() -> None:
    found = pair("albuterol", "sodium-chloride", BOOK)
    assert found is not None
    assert (("albuterol-2.5mg-3ml", "sodium-chloride-7pct-unit-dose"), Verdict.CONFLICTING) in found.otherwise
    assert all(len(names) == 2 for names, _ in found.otherwise)


def test_a_drug_with_itself_is_no_pair_and_a_diluent_no_product() -> None:
    assert pair("albuterol", "albuterol", BOOK) is None
    assert products("sterile-water", BOOK) == ()
    assert [one.id for one in products("ipratropium", BOOK)] == ["ipratropium-500mcg-2.5ml"]


def test_what_is_named_and_what_is_not_is_every_two_products_and_their_own_verdict() -> None:
    for one, other in combinations([drug.id for drug in BOOK.drugs], 2):
        found = pair(one, other, BOOK)
        assert found is not None
        named = {frozenset(names): verdict for names, verdict in found.otherwise}
        for mine in products(one, BOOK):
            for theirs in products(other, BOOK):
                keys = (frozenset({mine.id, theirs.id}), frozenset({mine.id}), frozenset({theirs.id}))
                told = next((named[key] for key in keys if key in named), found.judged.verdict)
                judged = judge(part(mine), part(theirs), BOOK.mixtures)
                assert judged is not None
                assert judged.verdict is told
