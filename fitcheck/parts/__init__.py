"""Part families: each a table of sizes and a dimension model."""
