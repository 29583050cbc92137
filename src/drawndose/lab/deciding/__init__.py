"""From attempts to a decision by a stated rule, and from a decision to a sign-off with its due date."""
