"""Runs, allowed stations and stock to pieces: joints and cutting solved together.

It is given and gives back what `records` has. One begins at `solve`, or at `sharing` where rips
share boards; both work on a `job` that is made ready.

Layouts. `pieces` says which pieces a run may be made of, `needs` lists them, and a `graph` holds
all ways to joint one run; `free_joints` picks stations where joints may be anywhere, `uncut` what
is one piece. A `stack` is a layer's runs with which stations shut out which. `construct` lays all
runs by `search`, course by course, or by a trail through equal courses (`course_order`).

Prices. `master` is the programme of layouts and patterns; `listing` and `abreast` find what it
lacks, `flow` is the order of equal courses in it, and `alike` solves it for courses that are
nearly equal as if they were.

Better layouts. `improving` keeps the best and tries others, as `local_search` does a few courses at
a time, judged by the `floors` of those before. `nesting` and `leaning` let ends that slant share
cuts (`mitres` says what that can save). `as_you_go` is the usual way of cutting, to compare with.

Bounds. `bounds` asks the others: `material` by whole sticks, `cells` where joints may be anywhere,
`windows` and `side_by_side` by joints that stagger forces, `whole_sticks` by whole numbers.

Proofs. A `certificate` is prices that anybody can add up; `certified_prices` tries some, by the
length (`certified_lengths`) or of a programme (`certified_programme`), and `certified_sum` adds up.
"""
