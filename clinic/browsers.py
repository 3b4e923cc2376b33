"""A browser in a few words, from the long line in which it names itself and others."""

# The first that fits: many name others beside themselves.
BROWSERS = {
    "Edg": "Edge", "OPR": "Opera", "FxiOS": "Firefox", "Firefox": "Firefox", "CriOS": "Chrome",
    "Chrom": "Chrome", "Safari": "Safari",
}  # fmt: skip
MACHINES = {
    "iPhone": "iPhone", "iPad": "iPad", "Android": "Android", "Windows": "Windows",
    "Mac OS": "macOS", "CrOS": "ChromeOS", "Linux": "Linux",
}  # fmt: skip


def in_short(agent: str) -> str:
    """Return "Firefox on Windows" for what a browser says of itself; what is not known is left out."""
    found = (
        next((word for sign, word in names.items() if sign in agent), "")
        for names in (BROWSERS, MACHINES)
    )
    return " on ".join(filter(None, found))
