"""Sticks: boards, rips and mitred parts cut from stock lengths.

One begins at `solve`: a first plan by the `heuristic`, then patterns. `master` is the programme of
patterns, priced by `pricing` on a `bench` of whole units with a `knapsack`; `ends` and `chains` say
what pieces at the ends of a stick, or with slanted ends, are worth there. `dive` takes whole sticks
of its solution, and `whole_numbers` searches among all `patterns` that a cheaper plan could use.

`bounds` are seen without patterns, `groups` where joints may be anywhere. `offcuts` makes rests of
worth stocks of their own. `nested` cuts slanted ends beside each other (`fillings`, `set_cover`),
`rips` several narrow pieces from one blank.
"""
