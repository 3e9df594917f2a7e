"""Erasing, part by part: rows, personal values, copies inside JSON, files."""
