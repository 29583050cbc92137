"""Whatever is typed, an answer comes back: a plan, a question, or what was not accepted. Never a broken page."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.pages import client

SLOW = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
PIECES = st.sampled_from(
    [
        "albuterol", "levalbuterol", "epinephrine", "ipratropium", "acetylcysteine", "colistimethate", "budesonide",
        "2.5 mg", "0.5 mL", "1,000 units", "0.15 mg/kg", "10 mg/h", "0.5 %", "20 %", ".5 mg", "1.0 mg", "5cc", "8 kg", "17 lb",
        "by nebulizer", "to 3 mL", "in 3 mL saline", "undiluted", "every 4 hours", "QD", "for 4 h", "output 25 mL/h", "max 10 mg",
        "and", "with", ",", "with sterile water", "in a 6 mL cup", "4 years old", "\u00b5", "<b>", "\x00", "\u202f", "5 mg per mL",
    ]
)  # fmt: skip
ORDERS = st.one_of(
    st.text(max_size=10_000),
    st.lists(PIECES, max_size=12).map(" ".join),
    st.lists(PIECES, min_size=200, max_size=900).map(lambda pieces: " ".join(pieces)[:10_000]),
)


def answered(sent: dict[str, object], live: bool) -> str:
    answer = client().post("/", sent, headers={"hx-request": "true"} if live else {})
    assert answer.status_code == 200
    page: str = answer.content.decode()
    assert any(state in page for state in ('class="state ', 'class="refused"', 'class="empty"'))
    return page


@SLOW
@given(ORDERS, st.booleans())
def test_any_text_is_answered(text: str, live: bool) -> None:
    answered({"order": text, "go": "1"}, live)


@SLOW
@given(
    st.dictionaries(
        st.sampled_from(
            [f"field-{name}" for name in ("drug", "dose", "fill", "fill_rule", "weight", "drug_2", "cup")]
            + ["answer", "tick", "drop", "take-cup", "take-equivalence", "take-line", "line", "line-for", "cup"]
            + ["equivalence", "tell-weight-1", "pack", "listed", "count-x", "left-albuterol-2.5mg-3ml:0", "tool"]
        ),
        st.one_of(PIECES, st.text(max_size=40)),
    )
)
def test_any_form_is_answered(more: dict[str, str]) -> None:
    answered({"order": "albuterol 2.5 mg by nebulizer to 3 mL", "go": "1", **more}, live=False)
    answered({"order": "", "go": "1", **more}, live=True)


@pytest.mark.parametrize("text", ["a" * 10_001, "mg " * 3_300, "(" * 10_000, "albuterol " * 1_000])
def test_long_texts_are_answered(text: str) -> None:
    answered({"order": text}, live=False)
