"""Bounds of the engine that a department may only tighten; `Policy` refuses every other value."""

from __future__ import annotations

from drawndose.department.work.choices import Choice, a_count, a_volume

UNPUBLISHED = "a setting of this house; no published source"

BOUNDS = (
    Choice(
        name="most_products",
        means="most sterile products in one preparation",
        effect="more are stopped outside a hood",
        source="USP <797>, immediate use: 3 (secondary); only fewer are accepted",
        accepts="1 to 3",
        read=a_count,
    ),
    Choice(
        name="most_entries",
        means="most entries into one container",
        effect="more are cautioned outside a hood",
        source="USP <797>, immediate use, 2008: 2 (secondary); only fewer are accepted",
        accepts="1, 2",
        read=a_count,
    ),
    Choice(
        name="caution_containers",
        means="most containers for one dose without a caution",
        effect="a way that opens more carries a caution: it is how a tenfold order shows",
        source=f"{UNPUBLISHED}; only fewer are accepted",
        accepts="1 to 3",
        read=a_count,
    ),
    Choice(
        name="bottle_rest",
        means="what a dropper bottle keeps without a caution",
        effect="a draw that leaves less, and less than is drawn, carries a caution: the tip draws air",
        source=f"{UNPUBLISHED}; only more is accepted",
        accepts="1 mL or more",
        read=a_volume,
    ),
    Choice(
        name="far_beyond",
        means="how many times beyond everything published is far",
        effect="such a dose is stopped, even where one source alone or memory bounds it",
        source="a setting of this house: a lost or added point is a power of ten; only less is accepted",
        accepts="2 to 10",
        read=a_count,
    ),
    Choice(
        name="far_more_often",
        means="how many times as often as published is the most",
        effect="what is ordered more often than that is stopped, where it is sure what is published; else cautioned",
        source=f"{UNPUBLISHED}; only less is accepted",
        accepts="1, 2",
        read=a_count,
    ),
    Choice(
        name="most_in_a_day",
        means="most single doses in a day",
        effect="an order of more is stopped",
        source="no text goes on more often than every hour: the 2007 panel's later doses, hospital page (secondary); only fewer are accepted",
        accepts="1 to 24",
        read=a_count,
    ),
)
"""Counts, and one volume."""
