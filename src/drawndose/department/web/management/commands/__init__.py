"""Commands of the framework that behave otherwise here."""
