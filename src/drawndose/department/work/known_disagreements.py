"""The settings that settle what issuers disagree on, where no other setting does already (`conflicts.toml` says who says what)."""

from __future__ import annotations

from drawndose.bench.policy import FilterNeedle, OralTip, RestKept, SoyaHeld
from drawndose.department.work.choices import Choice, a_word_of, words_of

DISAGREEMENTS = (
    Choice(
        name="filter_needle",
        means="an ampoule without a filter at hand",
        effect="where the needles at hand are named and none filters: a caution, or a stop",
        source="procedure texts ask for a filter; trials, all of injection, disagree (secondary)",
        accepts=words_of(FilterNeedle),
        read=a_word_of(FilterNeedle),
    ),
    Choice(
        name="rest_kept",
        means="the rest of an opened vial without preservative",
        effect="kept for the time its label prints, or thrown away like any single dose: then it is not used again",
        source="CDC, Injection Safety Checklist: single doses are thrown away; the label of acetylcysteine: 96 h (secondary)",
        accepts=words_of(RestKept),
        read=a_word_of(RestKept),
    ),
    Choice(
        name="oral_tip",
        means="a syringe with an oral tip for a dose to be breathed in",
        effect="with the second one such a syringe is cautioned, although it joins no line into a vein",
        source="ISMP asks for oral tips, and has warned that they invite a dose by mouth (secondary)",
        accepts=words_of(OralTip),
        read=a_word_of(OralTip),
    ),
    Choice(
        name="soya_held",
        means="an allergy to soya or peanut, held against ipratropium",
        effect="with the second one its nebulizer solution is cautioned, although it holds no soya",
        source="an old propellant inhaler held it, the solution does not (pharmacist's note, 2011, secondary)",
        accepts=words_of(SoyaHeld),
        read=a_word_of(SoyaHeld),
    ),
)
