"""One try of one learner: the marks of each evaluator, what was measured, and the score."""
