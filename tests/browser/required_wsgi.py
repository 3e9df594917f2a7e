"""The product as a house serves it that asks managers and above for a second factor; settings read it once."""

import os

os.environ["LEVELPEG_SECOND_FACTOR"] = "required"

from shared.wsgi import application

__all__ = ["application"]
