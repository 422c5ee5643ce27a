"""The service under attack: every operation and field of the published document, each in turn."""
