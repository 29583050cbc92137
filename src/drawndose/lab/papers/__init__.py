"""What the skills lab prints: the pack of a day, and the file of a learner and of a class. Plain parts, set by `drawndose.paper`."""
