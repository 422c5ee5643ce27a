"""Published tables as data: each figure once, with its document, clause, unit and valid range."""
