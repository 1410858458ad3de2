"""Numbers as the figures and tables write them."""

from cubital.items.kinds.formatting import NBSP, at_least, measure, percent, rounded

__all__ = ["NBSP", "at_least", "measure", "percent", "rounded"]
