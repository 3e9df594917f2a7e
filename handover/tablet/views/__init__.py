"""What a tablet asks for: one module for each kind of address."""
