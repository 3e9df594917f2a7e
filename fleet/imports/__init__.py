"""CSV in and out. A file is taken whole or not at all, and every bad cell gets a sentence."""
