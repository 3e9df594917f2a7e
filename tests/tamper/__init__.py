"""What somebody with the database password and the disk could do, at random, and whether the checks say so."""
