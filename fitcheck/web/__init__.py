"""The bench page and the JSON interface: the same answers as the command line, for a browser."""
