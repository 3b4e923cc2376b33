"""What a published accuracy comes to as likelihood ratios, by their definition."""

import math


def likelihood_ratios(sensitivity: float, specificity: float) -> tuple[float | None, float | None]:
    """Of a positive and of a negative answer; infinite at a specificity of 1, None where 0 divides."""
    positive = math.inf if specificity == 1 else sensitivity / (1 - specificity)
    negative = (1 - sensitivity) / specificity if specificity else None
    return positive, negative
