"""CSV and TOML files: layout tables, cut list, faired offsets, settings, a new boat to fill in."""
