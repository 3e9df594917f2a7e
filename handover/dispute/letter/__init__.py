"""The letter that tells a customer how a dispute was decided, in their language."""
