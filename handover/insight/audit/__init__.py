"""What an auditor asks, each question with the rows that answer it."""
