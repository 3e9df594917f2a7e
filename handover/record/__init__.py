"""The Record: what is printed, its sealing key, its seal, and how anyone checks it."""
