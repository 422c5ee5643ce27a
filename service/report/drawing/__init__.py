"""The drawing of a takeoff as one SVG document: plain records to ink, and no more.

One begins at `svg`, which sets pages one below the other. A `page` shows a layer of a surface, a
`section` the build-up, and `strips` take a layer on as many pages as can be read. `sheet_layout`
says what goes where, `marks` has for each mark its `ink` and `labels`, `placing` finds room for
these, and `rails` are the numbers beside a drawing. `match_lines` and `breaks` part what is long.
"""
