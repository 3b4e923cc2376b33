"""What a browser says of itself (RFC 9110, 10.1.5), in short. The lines are from memory, shortened."""

import pytest

from clinic.browsers import in_short

KIT = "AppleWebKit/605 (KHTML, like Gecko)"


@pytest.mark.parametrize(
    ("agent", "short"),
    [
        (
            "(Windows NT 10.0; Win64; x64; rv:140.0) Gecko/20100101 Firefox/140.0",
            "Firefox on Windows",
        ),
        (f"(X11; Linux x86_64) {KIT} Chrome/140.0 Safari/537.36", "Chrome on Linux"),
        (f"(Windows NT 10.0) {KIT} Chrome/140.0 Safari/537.36 Edg/140.0", "Edge on Windows"),
        (f"(Macintosh; Intel Mac OS X 10_15) {KIT} Version/18.0 Safari/605", "Safari on macOS"),
        (f"(iPhone; CPU iPhone OS 18_0 like Mac OS X) {KIT} Safari/604", "Safari on iPhone"),
        (f"(iPad; CPU OS 18_0 like Mac OS X) {KIT} Version/18.0 Safari/604", "Safari on iPad"),
        (f"(iPad; CPU OS 18_0 like Mac OS X) {KIT} CriOS/140.0 Safari/604", "Chrome on iPad"),
        (f"(Linux; Android 15) {KIT} Chrome/140.0 Mobile Safari/537.36", "Chrome on Android"),
        ("curl/8.0", ""),
        ("<script>alert(1)</script>", ""),
        ("", ""),
    ],
)
def test_a_browser_is_told_in_a_few_words(agent, short):
    assert in_short(f"Mozilla/5.0 {agent}") == short
