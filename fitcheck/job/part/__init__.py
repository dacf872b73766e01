"""Parts of the families that their tables describe: one answer for all of them."""
