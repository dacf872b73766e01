"""Pages to print: the job card, the blank bench sheet, labels; one self-contained file each."""
