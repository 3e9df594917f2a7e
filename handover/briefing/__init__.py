"""The briefing: which text of a Topic is shown in which language, what was shown, and who approves a translation."""
