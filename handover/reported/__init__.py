"""What instruments in a vehicle report by themselves, set beside what people read."""
