"""Lengths as the trade writes them, datums, papers, shared data. Knows no boat."""
