"""How wide words are set, so that a drawing knows what fits before page or paper sets it.

Advance widths of Source Sans 3 Regular, in thousandths of the size of the type; its semi-bold is at
most `STRONGER` times as wide. A sign that is not in the table counts as the widest one.
"""

# fmt: off
WIDTHS = {
    200: ' ',
    241: '|',
    246: 'ií',
    247: 'j',
    249: "',.:;’·",
    255: 'l',
    263: 'I',
    289: '!¡',
    292: 'f',
    303: '()[]{}',
    311: '-',
    331: '°',
    338: 't',
    347: 'r',
    350: '/\\',
    418: '*',
    419: 's',
    425: '?z¿',
    426: '"',
    446: 'x',
    456: 'cç',
    467: 'vy',
    476: 'Y',
    480: 'J–',
    486: 'L',
    494: 'F',
    495: 'k',
    496: 'eé',
    497: '#$+0123456789<=>^~−×',
    500: '_',
    504: 'agá',
    513: 'X',
    515: 'V',
    527: 'E',
    534: 'S',
    536: 'T',
    539: 'Z',
    542: '`oó',
    544: 'Ahuúü',
    547: 'nñ',
    553: 'b',
    555: 'dpq',
    566: 'P',
    569: 'R',
    571: 'C',
    579: 'K',
    588: 'B',
    609: '&',
    615: 'D',
    617: 'G',
    645: 'U',
    647: 'N',
    652: 'H',
    664: 'OQ',
    719: 'w',
    727: 'M',
    786: 'W',
    808: '½',
    824: '%',
    829: 'm',
    847: '@',
}
# fmt: on
STRONGER = 1.14
WIDEST = max(WIDTHS)

_OF_SIGN = {sign: width for width, signs in WIDTHS.items() for sign in signs}


def text_width(words: str, size: float, *, strong: bool = False) -> float:
    """Return the width of a line of words in the unit of `size`."""
    thousandths = sum(_OF_SIGN.get(sign, WIDEST) for sign in words)
    return thousandths * size / 1000 * (STRONGER if strong else 1)
