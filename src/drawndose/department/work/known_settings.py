"""The settings of this department, in the order of the policy page. A test holds the engine's part to its `Policy`."""

from __future__ import annotations

from drawndose.bench.policy import RANKING, SecondReading
from drawndose.department.work import label_stock, nebulizers
from drawndose.department.work.choices import (
    BY_COUNT,
    Choice,
    a_count,
    a_prompt,
    a_share,
    a_share_or_never,
    a_silence,
    a_span,
    a_time,
    a_truth,
    clocks,
    drugs,
    equivalences,
    kinds,
    names,
    one_of,
    streams,
    training_years,
    words_of,
    years,
)
from drawndose.department.work.known_bounds import BOUNDS, UNPUBLISHED
from drawndose.department.work.known_disagreements import DISAGREEMENTS

_FACILITY = "nobody publishes one: the facility decides"
_ISMP = "ISMP, timely administration of scheduled medications, 2011 (secondary)"
_LISTED = "names, with commas; none"
WHICH_ORDERS = ("as needed", "every one", "none")
"""Which orders have to name their reason."""
ASKS = ("no", "caution", "stop")
"""Whether a sign-off is asked for before a preparation, and how hard."""

ENGINE = (
    Choice(
        name="start_within",
        means="from the start of preparing to the start of giving",
        effect="the limit on label, sheet and board: past it nothing may be given",
        source="USP <797>: 1 h in the chapter of 2008, 4 h in that of 2023 (secondary); the shorter until chosen",
        accepts="1 h, 4 h",
        read=a_time,
    ),
    Choice(
        name="bottle_life",
        means="life of an opened dropper bottle whose label prints none",
        effect="the discard date when such a bottle is opened; until chosen no date is worked out",
        source="no issuer prints a number for these bottles; the facility decides",
        accepts="24 h, 7 d, 28 d",
        read=a_span,
    ),
    Choice(
        name="vial_life",
        means="life of an opened injectable multi-dose vial",
        effect="the discard date of such a vial where its label is silent",
        source="CDC, Injection Safety Checklist: 28 days (secondary); only shorter is accepted",
        accepts="28 d or shorter",
        read=a_span,
    ),
    Choice(
        name="shared_bottles",
        means="an opened bottle may be shared from a central clean place",
        effect="without it an opened bottle is one person's",
        source="CDC on multi-dose containers: one person wherever possible (secondary)",
        accepts="yes, no",
        read=a_truth,
    ),
    Choice(
        name="second_reading",
        means="what a second person reads",
        effect="such a preparation gets no label before another person has read it",
        source="from memory: a check of everything is a check of nothing",
        accepts=words_of(SecondReading),
        read=kinds,
    ),
    Choice(
        name="hazardous",
        means="drugs that are not prepared at the bedside",
        effect="a stop where such a drug is ordered, unless this place is set up for it",
        source="NIOSH list, from memory, until the facility enters its own",
        accepts=_LISTED,
        read=drugs,
    ),
    Choice(
        name="hazardous_here",
        means="this place is set up for hazardous drugs",
        effect="lifts that stop here",
        source=_FACILITY,
        accepts="yes, no",
        read=a_truth,
    ),
    Choice(
        name="controlled",
        means="drugs whose waste is witnessed",
        effect="a sheet with waste of such a drug is closed only with a witness",
        source=_FACILITY,
        accepts=_LISTED,
        read=drugs,
    ),
    Choice(
        name="time_critical",
        means="drugs with the shortest window",
        effect="their due doses get the window of time-critical doses",
        source=f"the facility's own list, as asked for by {_ISMP}",
        accepts=_LISTED,
        read=drugs,
    ),
    Choice(
        name="window_critical",
        means="window of time-critical doses",
        effect="from when to when a dose is due before it counts as late",
        source=_ISMP,
        accepts="30 min",
        read=a_time,
    ),
    Choice(
        name="window_often",
        means="window of doses more often than daily",
        effect="from when to when a dose is due before it counts as late",
        source=_ISMP,
        accepts="1 h",
        read=a_time,
    ),
    Choice(
        name="window_daily",
        means="window of daily and rarer doses",
        effect="from when to when a dose is due before it counts as late",
        source=_ISMP,
        accepts="2 h",
        read=a_time,
    ),
    Choice(
        name="caution_above",
        means="permissible error that is cautioned",
        effect="a way of measuring that may be off by more carries a caution",
        source="a setting of this house: what USP 32 <1101> permits a calibrated dropper",
        accepts="15 %",
        read=a_share,
    ),
    Choice(
        name="refuse_above",
        means="permissible error that is not offered",
        effect="a way of measuring that may be off by more is left out",
        source=UNPUBLISHED,
        accepts="20 %",
        read=a_share,
    ),
    Choice(
        name="nearest_line_within",
        means="take the nearest line by itself when the dose changes by no more",
        effect="a volume between two lines is then not asked about",
        source=UNPUBLISHED,
        accepts="never, 2 %",
        read=a_share_or_never,
        undecided="never",
    ),
    Choice(
        name="offer_within",
        means="a line beside the volume is offered when the dose changes by no more",
        effect="a line farther off is not offered at all",
        source=UNPUBLISHED,
        accepts="10 %",
        read=a_share,
    ),
    Choice(
        name="most_fills",
        means="most fills of one instrument for one draw",
        effect="a volume that takes more fills is not offered with that instrument",
        source=UNPUBLISHED,
        accepts="3",
        read=a_count,
    ),
    Choice(
        name="most_containers",
        means="most containers for one dose",
        effect="a way that opens more is not offered",
        source=UNPUBLISHED,
        accepts="10",
        read=a_count,
    ),
    *DISAGREEMENTS,
    *BOUNDS,
    Choice(
        name="ranking",
        means="what counts first when ways are compared",
        effect="which of several good ways is shown as the plan; stop stays first",
        source="a decision of this house, with its reasons in the documentation",
        accepts=", ".join(RANKING),
        read=names,
    ),
    Choice(
        name="equivalences",
        means="equivalences taken where published ones disagree",
        effect="an order that counts in the other unit is then not asked about",
        source="published ones disagree: the facility decides",
        accepts="ids from the catalogue, with commas; none",
        read=equivalences,
    ),
    Choice(
        name="waste_streams",
        means="where waste of a drug goes, where not into the drug waste container",
        effect="what the plan says of leftovers",
        source="issuers disagree on some drugs: the facility decides",
        accepts="epinephrine: hazardous waste; none",
        read=streams,
    ),
)
"""Settings of the engine."""

TIMES = tuple(
    Choice(
        name=f"times_{count}",
        means=f"times of day of what is ordered {words}",
        effect="when its doses are due; doses that are planned already stay as they are",
        source="common practice; no published source was read",
        accepts=default,
        read=clocks(count),
        default=default,
    )
    for (count, default), words in zip(
        BY_COUNT.items(), ("once a day", "twice a day", "three times a day", "four times a day"), strict=True
    )
)
"""Times of day of scheduled doses."""

HOUSE = (
    *TIMES,
    Choice(
        name="pulse_rise",
        means="a pulse that rose by more than this, per min, prompts to look",
        effect="a line on the sheet when giving ends; it diagnoses nothing",
        source="a rule in use, read on one teaching page",
        accepts="20, never",
        read=a_prompt,
        default="20",
        undecided="never",
    ),
    Choice(
        name="rate_above",
        means="breaths above this, per min, prompt to look",
        effect="a line on the sheet when giving ends; it diagnoses nothing",
        source="from memory",
        accepts="30, never",
        read=a_prompt,
        default="30",
        undecided="never",
    ),
    Choice(
        name="saturation_below",
        means="oxygen saturation below this, %, prompts to look",
        effect="a line on the sheet when giving ends; it diagnoses nothing",
        source="from memory",
        accepts="90, never",
        read=a_prompt,
        default="90",
        undecided="never",
    ),
    Choice(
        name="reason_in_order",
        means="orders that name what the drug is for",
        effect="such an order is not entered before its reason is written",
        source="Joint Commission, MM.04.01.01 EP 2, 2021: policy says which orders name it, such as those as needed (read)",
        accepts=", ".join(WHICH_ORDERS),
        read=one_of(*WHICH_ORDERS),
        default=WHICH_ORDERS[0],
    ),
    Choice(
        name="more_rights",
        means="what is confirmed at giving beside patient, drug, dose, route and time",
        effect="each is a box of its own, and nothing is given before all are ticked",
        source="teaching texts list 5 to 14 of them, and no issuer fixes one list (secondary)",
        accepts="reason, documentation, response, right to refuse; none",
        read=names,
        default="none",
    ),
    Choice(
        name="order_of_drugs",
        means="the order in which several inhaled drugs are given",
        effect="a note where one that comes earlier is due for the same person too",
        source="one hospital's policy, 2016: bronchodilator, hypertonic saline, dornase alfa, airway clearance, antibiotic, steroid (read)",
        accepts="albuterol, sodium chloride, dornase alfa, tobramycin, budesonide; none",
        read=drugs,
        default="none",
    ),
    Choice(
        name="keeping_years",
        means="years that records are kept",
        effect="shown where records are searched; nothing is deleted here, sooner or later",
        source="patients' records as the state says; 6 years for what a security policy asks (from memory)",
        accepts="10, not decided",
        read=years,
        default="not decided",
    ),
    Choice(
        name="label_sizes",
        means="sizes of label that are here, in the order in which they are tried",
        effect="a label comes on the first that holds it whole; what fits on none is refused with what each lacks",
        source="from memory, as stationers sell them; measure your own stock",
        accepts=f"{label_stock.SHIPPED}; width first",
        read=label_stock.label_sizes,
        default=label_stock.SHIPPED,
    ),
    Choice(
        name="sheet_paper",
        means="paper of the office printer",
        effect="preparation sheets are set for it",
        source="ISO 216 (A4) and 8.5 x 11 inches (Letter); from memory",
        accepts=", ".join(label_stock.PAPERS),
        read=one_of(*label_stock.PAPERS),
        default="A4",
    ),
    Choice(
        name="silence_most",
        means="the longest that a person may silence a caution",
        effect="a silence ends by itself then, and the caution is shown again",
        source=UNPUBLISHED,
        accepts="90 d or shorter",
        read=a_silence,
        default="90 d",
    ),
    Choice(
        name="sign_off_asked",
        means="a sign-off that is valid today, asked for before a preparation",
        effect="who prepares from a kind of container without one gets a caution, or a stop; kinds without a form are not asked about",
        source=UNPUBLISHED,
        accepts=", ".join(ASKS),
        read=one_of(*ASKS),
        default=ASKS[0],
    ),
    Choice(
        name="training_years",
        means="years that training records are kept",
        effect="after them a learner's personal words may be erased; the events stay, and nothing is erased by itself",
        source="no published length was read that holds everywhere; the facility decides",
        accepts="3, not decided",
        read=training_years,
        default="not decided",
    ),
    Choice(
        name="nebulizers",
        means="nebulizers that were measured here",
        effect="the time and the share that are told of a fill: bench, aerosol page, board, preparation sheet; no dose",
        source="the ranges of the kinds, published or set, stand for whatever was not measured",
        accepts=f"{nebulizers.EXAMPLE}; several with a semicolon between them; none",
        read=nebulizers.nebulizers,
        default=nebulizers.NONE,
    ),
)
"""Settings of the house, which the engine does not know."""

CHOICES = ENGINE + HOUSE
