"""The tables of the answer: which there are, and how their rows are written."""
