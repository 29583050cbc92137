"""What a learner is set: a preparation with its key, or one whose right answer is to stop."""
