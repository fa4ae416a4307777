"""Files to values; every fault found is told by file, row, column or key."""
