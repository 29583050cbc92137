"""The skills lab's records: forms, rules, classes, days, attempts, decisions, sign-offs. Apart from every patient's record."""
