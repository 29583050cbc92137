"""Pages of the skills lab: the day, the evaluator's sheet, the result, the programme."""
