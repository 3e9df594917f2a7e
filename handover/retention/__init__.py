"""When personal data go: what is kept where, how long, what holds it back, and what erasing leaves."""
