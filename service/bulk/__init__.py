"""Many jobs at once: a file of them in, a file of their answers out, each line in its place.

A line is a job as `POST /v1/takeoffs` takes it, and becomes what that would answer, to the byte:
the answer as JSON, or the problem for which there is none. A row of a sheet becomes the row that
`POST /v1/rows.csv` answers. `reading` takes a file apart, `lines` and `sheets` answer what is in
it, `running` keeps several processes or machines at it and their answers in order, `crew` and
`cluster` say which, and `writing` writes so that a run that was killed can go on.
"""
