"""The sections of scripts/bench.py, one module each."""
