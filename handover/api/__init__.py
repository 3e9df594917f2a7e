"""The interface for programs: bookings in, everything else out, under tokens that say what each may."""
