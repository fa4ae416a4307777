"""The table of offsets, from CSV or a spreadsheet, however it was saved."""
