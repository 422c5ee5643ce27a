"""The catalogue: what a kind of layer is, one folder for each kind, and the registry."""
