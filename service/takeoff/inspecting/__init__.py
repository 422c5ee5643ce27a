"""The inspection sheet: what is looked at before it is covered, and what is printed on products."""
