"""What a manager sees of many rentals at once: metrics, what an auditor asks, how well readings repeat."""
