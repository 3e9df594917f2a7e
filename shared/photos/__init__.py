"""Photos: checked, freed of the place they were taken at, turned upright and made small. Pure: bytes in, bytes out."""
