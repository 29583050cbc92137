"""The states of the training records, as data: from a state, by an event, to a state. Nothing else changes a state."""

from drawndose.department.work.states import Table

FORM: Table = {
    "": {"form.written": "in use"},
    "in use": {"form.replaced": "replaced"},
    "replaced": {},
}
"""One version of a form. A version is never changed: an edit is another version, and attempts keep theirs."""

RULE: Table = {
    "": {"rule.written": "in use"},
    "in use": {"rule.replaced": "replaced"},
    "replaced": {},
}
"""One version of a rule."""

COHORT: Table = {
    "": {"cohort.opened": "open"},
    "open": {"cohort.closed": "closed"},
    "closed": {},
}
"""A class."""

LEARNER: Table = {
    "": {"learner.enrolled": "enrolled"},
    "enrolled": {
        "learner.renamed": "enrolled",
        "learner.linked": "enrolled",
        "learner.left": "left",
        "learner.erased": "erased",
    },
    "left": {"learner.back": "enrolled", "learner.erased": "erased"},
    "erased": {},
}
"""A learner of a class. Erased: the personal words are gone from the tables; the events, which never held them, stay."""

LAB_DAY: Table = {
    "": {"lab_day.planned": "planned"},
    "planned": {"lab_day.opened": "open", "lab_day.dropped": "dropped"},
    "open": {"lab_day.closed": "closed"},
    "closed": {},
    "dropped": {},
}
"""A day in the lab."""

ATTEMPT: Table = {
    "": {"attempt.begun": "begun"},
    "begun": {
        "attempt.evidence": "begun",
        "attempt.sent": "sent",
        "attempt.broken_off": "broken off",
    },
    "sent": {
        "attempt.evidence": "sent",
        "attempt.decided": "decided",
        "attempt.broken_off": "broken off",
    },
    "decided": {"attempt.evidence": "sent", "attempt.reopened": "sent", "attempt.signed": "signed"},
    "signed": {"attempt.reopened": "sent"},
    "broken off": {},
}
"""One try. Sent: the first evaluator handed the sheet in. Reopened: its decision was changed, or a mark was corrected; what is
decided anew is signed anew. Broken off counts as no try."""

DECIDED = frozenset({"decided", "signed"})
"""The states in which a try has a result. In every other one nothing that was marked, measured or decided before is shown as one."""

EVALUATION: Table = {
    "": {"evaluation.begun": "open"},
    "open": {"evaluation.sent": "sent", "evaluation.dropped": "dropped"},
    "sent": {"evaluation.corrected": "sent"},
    "dropped": {},
}
"""The sheet of one evaluator. What stands on an open one is a draft; corrected: one mark more, with its note, after it was sent."""

DECISION: Table = {
    "": {"decision.taken": "stands"},
    "stands": {"decision.superseded": "superseded"},
    "superseded": {},
}
"""A decision is never altered: another one takes its place, with a name and a reason."""

REMEDIATION: Table = {
    "": {"remediation.planned": "open"},
    "open": {"remediation.done": "done"},
    "done": {},
}
"""What is practised before the next try."""

SIGN_OFF: Table = {
    "": {"sign_off.given": "valid"},
    "valid": {"sign_off.replaced": "replaced", "sign_off.suspended": "suspended", "sign_off.ended": "ended"},
    "suspended": {"sign_off.replaced": "replaced", "sign_off.resumed": "valid", "sign_off.ended": "ended"},
    "replaced": {},
    "ended": {},
}
"""That a person has shown a skill. Valid until its due day; a day that passes is no event. Suspended: a later attempt was not
passed, and the rule waits for a person. While the attempt that it rests on is open again it does not count, in whatever state."""

ACTION: Table = {"": {"action.taken": "taken"}, "taken": {}}
"""What was done about evaluators who differed."""

TABLES: dict[str, Table] = {
    "form": FORM,
    "rule": RULE,
    "cohort": COHORT,
    "learner": LEARNER,
    "lab_day": LAB_DAY,
    "attempt": ATTEMPT,
    "evaluation": EVALUATION,
    "decision": DECISION,
    "remediation": REMEDIATION,
    "sign_off": SIGN_OFF,
    "action": ACTION,
}
OF_KIND = {
    "form": "training.formversion",
    "rule": "training.ruleversion",
    "cohort": "training.cohort",
    "learner": "training.learner",
    "lab_day": "training.labday",
    "attempt": "training.attempt",
    "evaluation": "training.evaluation",
    "decision": "training.decision",
    "remediation": "training.remediation",
    "sign_off": "training.signoff",
    "action": "training.action",
}
"""The table of each kind, for the audit."""
