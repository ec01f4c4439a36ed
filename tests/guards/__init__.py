"""Small benches with fixed seeds, in every run: they fail when accuracy leaves the band it holds today.

`figures.py` measures, `bands.csv` holds the bands, `test_guards.py` compares. After a change that is meant to
move a figure, `python -m tests.guards.rebase` writes the bands anew; say in the commit why they moved.
`python -m tests.guards.mutants` puts small faults into a copy of palette, one after another, and tells which
of them no guard finds.
"""
