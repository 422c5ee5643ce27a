"""Requests for tests: small builders, generated jobs, and the black box they are put to."""
