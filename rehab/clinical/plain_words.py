"""Whether what a patient reads is short enough."""

import re
from collections.abc import Iterable

from clinic.evidence import Figure, Status

LONGEST_SENTENCE = Figure(
    value=25,
    unit="words",
    source="UK government style",
    status=Status.FROM_MEMORY,
)

# A figure's own point is followed by a digit, the end of a sentence by a space.
_END = re.compile(r"(?<=[.!?])\s+")


def long_sentences(texts: Iterable[str]) -> tuple[str, ...]:
    """Return the sentences that have more words than a patient should be given in one."""
    sentences = (sentence for text in texts for sentence in _END.split(text.strip()))
    return tuple(one for one in sentences if len(one.split()) > LONGEST_SENTENCE.value)
