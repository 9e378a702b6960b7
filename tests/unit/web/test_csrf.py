import pytest
from fastapi import Request

from teewright.web.guard.csrf import is_browser, is_foreign, new_secret, token_of

OWN = "https://192.168.8.10:8317"


def request(**headers: str) -> Request:
    raw = [(name.replace("_", "-").encode(), value.encode()) for name, value in headers.items()]
    return Request({"type": "http", "method": "POST", "headers": raw})


def test_the_token_goes_with_its_cookie_and_does_not_tell_it() -> None:
    first, second = new_secret(), new_secret()
    assert token_of(first) == token_of(first) != token_of(second)
    assert first not in token_of(first)
    assert len(first) >= 43  # 256 bits in base64
    assert token_of("") == ""


@pytest.mark.parametrize(
    ("headers", "foreign"),
    [
        ({}, False),
        ({"origin": OWN}, False),
        ({"origin": OWN.upper()}, False),
        ({"origin": OWN, "sec_fetch_site": "same-origin"}, False),
        ({"sec_fetch_site": "none"}, False),
        ({"origin": "null", "sec_fetch_site": "same-origin"}, False),
        ({"origin": "null"}, True),
        ({"origin": "http://192.168.8.10:8317"}, True),
        ({"origin": "https://192.168.8.10"}, True),
        ({"origin": OWN, "sec_fetch_site": "same-site"}, True),
        ({"origin": OWN, "sec_fetch_site": "cross-site"}, True),
        ({"sec_fetch_site": "anything-new"}, True),
    ],
)
def test_what_a_browser_says_of_where_it_comes_from(headers: dict[str, str], foreign: bool) -> None:
    assert is_foreign(request(**headers), OWN) is foreign


@pytest.mark.parametrize(
    ("headers", "browser"),
    [
        ({}, False),
        ({"user_agent": "curl/8.5"}, False),
        ({"user_agent": "Mozilla/5.0 (anything)"}, True),
        ({"user_agent": "curl/8.5", "origin": OWN}, True),
        ({"sec_fetch_site": "same-origin"}, True),
        ({"referer": OWN}, True),
    ],
)
def test_what_looks_like_a_browser_is_taken_for_one(headers: dict[str, str], browser: bool) -> None:
    assert is_browser(request(**headers)) is browser
