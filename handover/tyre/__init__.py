"""The tyres of a unit: what the law and the plate ask of them, and a pressure checked against the plate."""
