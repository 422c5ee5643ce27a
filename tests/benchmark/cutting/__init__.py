"""`make bench-cutting`: published and drawn jobs at stated work limits, each plan verified."""
