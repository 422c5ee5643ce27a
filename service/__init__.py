"""Surface takeoff service: from the measure of a boarded surface to everything that it takes."""

__version__ = "0.3.0"
RULES_VERSION = "3"
