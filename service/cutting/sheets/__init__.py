"""Parts of sheets: how they are nested by through-cuts, and at what least cost.

One begins at `nesting`: quick plans (`fill`, and what is `unshared`), then the programme of ways of
cutting a sheet (`master`, priced by `values`), whole sheets out of it (`improve`), and a `search`
that undoes some. A sheet cut up is a tree (`trees`) of a `stock`.

Where rows of sheets may be jointed in several `ways`, `layouts` says what all of them cost at
least, and `whole_rows` chooses joints and cuts in one programme.
"""
