"""Persons, what they may do, and how they sign."""
