"""What the pure modules of this room say in finished sentences, for the phrase book."""

READINGS = (
    "%(value)s %(unit)s is below zero. %(name)s reads 0 or more.",
    "%(value)s mm is deeper than any tread. A new tyre has 7 to 9 mm.",
    "%(value)s %(unit)s cannot be: %(name)s is full at %(full)s.",
    "%(gross)s kg cannot be right for this cylinder. Full it weighs %(full)s, empty %(empty)s. Weigh again.",
    "%(volts)s V cannot be a 12 V battery. It reads %(low)s to %(high)s V.",
    "Did you mean %(guess)s?",
    "%(now)s %(unit)s is less than the %(was)s %(unit)s it left with. Read the odometer again.",
    "Were these miles? Write mi after the figure.",
    "A gauge reads 0 with the ignition off. Is it on, and has the needle settled?",
    "It came back with more than it left with (%(before)s %(unit)s). Was it filled?",
    "%(value)s V is more than a battery at rest shows: hook-up, sun or engine charge it. Was it read off charge?",
    "Heavier than when it left (%(before)s kg). Is it the same cylinder, or was it filled?",
    "Deeper than when it left (%(before)s mm). Is it the same tyre, and the same place on it?",
    "The same as when it left, after %(value)s km. Was it filled just now?",
    "That is %(driven)s %(unit)s in %(days)s days.",
    "Are two digits swapped?",
    "The vehicle itself reported %(reported)s %(unit)s before. Read the odometer again.",
)
SAYINGS = READINGS
