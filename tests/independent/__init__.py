"""A second opinion: reads a request and its answer without a line of the service's own code."""
