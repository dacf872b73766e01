"""A table of readings, answered row by row."""
