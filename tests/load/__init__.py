"""The service under load: what `make load` runs."""
