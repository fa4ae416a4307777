"""Work that several products share. It knows the boat and the wishes, and makes no files."""
