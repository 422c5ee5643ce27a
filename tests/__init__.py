"""Tests: laws, published values, contracts."""
