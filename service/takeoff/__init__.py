"""From a job to its takeoff: one pure function, and the laws that every answer must keep.

One begins at `pipeline`, which takes a `job` through its steps: `laying` each layer, `planning` and
`supplying` the stock of each product, `building` what goes with it (`behind`, `behind_nails`,
`finishing`), `buying` all of it by the item (`ordering`, `liquid_books`, `labour`, `explaining`),
and `laws` on the answer itself. `inspecting/` and `moisture/` have their own sheets.

What else is asked of a job goes round that: `trying` takes one layer further for a cure,
`comparison` sets takeoffs beside each other, `cut_plan` cuts pieces that lie on no surface.
"""
