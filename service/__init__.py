"""Surface takeoff service: from the measure of a boarded surface to everything that it takes."""

__version__ = "0.4.0"
RULES_VERSION = "7"
