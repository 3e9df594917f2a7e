"""Content-addressed files: a photo or a record is named by its SHA-256 and written once."""
