"""What can only be a range: how sure a drawn amount is, what a weighing says, how far a person's draws spread.

Floats live here and go no further: this storey reads exact values from the bench and answers with intervals; nothing below
imports it, and nothing in it changes a dose. Every formula is a card: one function with its equation, its units, the
range in which it holds (as data, and enforced: outside it raises `OutOfRange` and gives no number), its source, and an
example that is run.
"""
