"""Whether the tests would notice a mistake: what `make mutants` runs."""
