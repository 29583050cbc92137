"""What the browser sees: views, what was typed, what is shown, and the drawings."""
