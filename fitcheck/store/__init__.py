"""The shop's own data: SQLite by default, PostgreSQL where branches share it."""
