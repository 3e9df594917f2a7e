"""What could not be charged because nobody read, counted or photographed it at pickup, and what that costs."""
