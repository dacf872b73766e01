"""One module a migration; Alembic reads them by the revision inside, not by the file's name."""
