"""Benchmarks: ratios measured side by side in one run. Not part of the tests."""
