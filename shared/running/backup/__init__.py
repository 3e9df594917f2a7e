"""A copy of everything that cannot be made again, checked by ordinary tools (sha256sum -c SHA256SUMS), and back.

The database comes first and the files after it. A file is kept before the row that names it is written, under its own
digest, and is never changed: so every file that the copied database names is in the store when the files are copied,
however much is written meanwhile. What comes in between is only a file too many.
"""
