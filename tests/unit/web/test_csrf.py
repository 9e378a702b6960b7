import pytest
from fastapi import Request

from teewright.web.guard.csrf import (
    is_browser,
    is_foreign,
    masked,
    new_secret,
    token_of,
    unmasked,
)

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


def test_a_token_is_masked_anew_each_time_and_comes_out_whole() -> None:
    token = token_of(new_secret())
    masks = {masked(token) for _ in range(50)}
    assert len(masks) == 50
    assert all(token not in mask for mask in masks)
    assert {unmasked(mask) for mask in masks} == {token}


@pytest.mark.parametrize("given", ["", "0", "zz", "é" * 64, "ab" * 63])
def test_what_is_no_masked_token_is_not_the_token(given: str) -> None:
    assert unmasked(given) == ""
