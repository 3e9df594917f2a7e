"""What is wrong with an installation, in sentences, each with what to do about it."""
