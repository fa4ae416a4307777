"""A page and what it is printed on: sizes, check bars, a printer's correction, drawings stacked on pages."""
