"""Callers and platforms with their real parts, beyond Python alone: `make test-callers`."""
