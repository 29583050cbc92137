"""The exact core of the job: order, containers, draws, dilution, plan, steps, safeguards, label, worked sums."""
