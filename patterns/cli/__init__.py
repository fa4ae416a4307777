"""Commands: the only place that prints, asks or exits."""
