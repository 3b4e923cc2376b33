"""The words of this software, one for each thing, as pages, paper and code use them.

A meaning that rests on something names it; one without a source is how the word is used here.
"""

from clinic.glossary.care import CARE
from clinic.glossary.measures import MEASURES
from clinic.glossary.practice import PRACTICE
from clinic.glossary.program import PROGRAM

PARTS = (CARE, MEASURES, PROGRAM, PRACTICE)
WORDS = {word.word: word for part in PARTS for word in part.words}
