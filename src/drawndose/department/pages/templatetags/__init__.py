"""Template tags of the pages that keep records."""
