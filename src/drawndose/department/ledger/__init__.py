"""The one ledger: what happened, who did it, when and why, each event bound to the one before by its hash."""
