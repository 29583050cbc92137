"""The skills lab: tasks that are set, forms that are watched, attempts with their evidence, decisions and sign-offs.

Pure: no clock, no machine, chance only by a seed. Amounts are exact; what is a float comes from `science` and decides no dose.
"""
