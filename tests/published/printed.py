"""Numbers out of a sentence, so that prose is held to the printed values as figures are."""

import re


def numbers(*texts: str) -> tuple[float, ...]:
    """Every number of the texts in the order of reading, signs and units left out."""
    return tuple(float(one) for text in texts for one in re.findall(r"\d+(?:\.\d+)?", text))
