"""What an evaluator watches: the steps of a skill as versioned data."""
