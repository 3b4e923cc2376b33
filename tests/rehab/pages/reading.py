"""A page read back from its HTML: its words, its headings, and what it would ask for from elsewhere."""

import re

import html5lib
from lxml import etree

HEADINGS = ("h1", "h2", "h3", "h4", "h5", "h6")
# Where something new begins for who listens.
BLOCKS = (*HEADINGS, "p", "li", "td", "th", "dt", "dd", "figcaption", "caption")
LIGATURES = str.maketrans({"ﬁ": "fi", "ﬂ": "fl"})


def parsed(page: str | bytes) -> etree._Element:
    """The page as a browser takes it. Raises ParseError for what the HTML standard calls an error."""
    tree = html5lib.getTreeBuilder("lxml")
    parser = html5lib.HTMLParser(tree, strict=True, namespaceHTMLElements=False)
    return parser.parse(page.decode() if isinstance(page, bytes) else page).getroot()


def main(page: str | bytes) -> etree._Element:
    (found,) = parsed(page).iter("main")
    return found


def words(element: etree._Element, *, hidden: bool = True) -> str:
    """What is said, blanks folded; drawings are left out, and with hidden=False what is only read aloud."""
    left_out = "ancestor::*[local-name() = 'svg']"
    if not hidden:
        left_out += " or ancestor::*[@class = 'hidden-word']"
    texts = element.xpath(f".//text()[not({left_out})]")
    return folded("".join(texts))


def folded(text: str) -> str:
    return " ".join(text.translate(LIGATURES).split())


def blocks(element: etree._Element) -> list[etree._Element]:
    """The innermost blocks, in the order in which they are read."""
    every = [one for one in element.iter(*BLOCKS)]
    return [one for one in every if not [inner for inner in one.iter(*BLOCKS) if inner is not one]]


def headings(element: etree._Element) -> list[tuple[int, str]]:
    return [(int(one.tag[1]), words(one)) for one in element.iter(*HEADINGS)]


def asked_for(element: etree._Element) -> list[str]:
    """Every address in it that a browser would fetch or lead to, but for places on the page itself."""
    addresses = element.xpath("//@src | //@href | //@srcset | //@data | //@action | //@poster")
    rules = " ".join(element.xpath("//style/text()"))
    in_rules = re.findall(r"url\([^)]*\)|@import[^;]*", rules)
    return [*(one for one in addresses if not one.startswith("#")), *in_rules]
