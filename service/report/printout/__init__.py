"""The takeoff on paper as plain text, from the answer that everyone gets.

One begins at `written`, which sets the `sections` of an answer, most in a module of their own;
`change`, `comparison` and `cut_plan` are those of other answers. They find `rows` of it, write
`lengths` and names of pieces (`piece_names`, `ranges`), and hand over paragraphs and tables, which
`columns` sets on a page.
"""
