"""Files the program writes and the builder edits: placements on sheets, measured printers."""
