"""The pages about the API: its description, its tokens, and what was sent of webhooks."""
