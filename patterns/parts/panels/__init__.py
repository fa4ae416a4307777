"""Planking laid flat, and long panels joined of pieces. Touch it for what a panel's outline or its marks are."""
