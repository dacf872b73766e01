"""Find which seal, bearing and sleeve fit a worn hub, from what can be measured."""

__version__ = "0.1.0"
