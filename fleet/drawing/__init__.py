"""Drawings as SVG text, pure: data in, markup out. No Django, no clock, no database."""

from fleet.drawing.fittings import KINDS as FITTING_KINDS
from fleet.drawing.model import Fitting, MarkPin, PlanInput, StationPoint
from fleet.drawing.plan import print_svg, screen_svg

__all__ = ["FITTING_KINDS", "Fitting", "MarkPin", "PlanInput", "StationPoint", "print_svg", "screen_svg"]
