"""Judges of solids: each module has judge(where, data, tally), where the files
of one call of `pinfold make` stand, its JSON answer, and a tally of checks."""
