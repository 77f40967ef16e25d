"""From the measurements of a sewn bag to its pieces, layers, cloth, cost and papers."""

__version__ = "0.1.0"
