"""A whole class at once: the rows that are shown and kept, and an invented class to try the lab with."""
