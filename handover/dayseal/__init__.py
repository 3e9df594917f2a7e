"""Day seals: signed with the operator's key, time-stamped where an authority is configured, shown, printed, checked."""
