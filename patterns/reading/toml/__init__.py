"""The tables and keys boat.toml may have, each with its type; where a key stands in the file."""
