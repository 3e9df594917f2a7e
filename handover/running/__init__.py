"""What running it for real asks of handover's tables: keys apart, what is wrong, figures, and what holds them up."""
