import asyncio
import contextlib
import socket
import ssl
import stat
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from fastapi.testclient import TestClient

from teewright.errors import FileFormatError, InputError
from teewright.web.field import addresses
from teewright.web.field.authority import (
    AUTHORITY_LASTS,
    SERVER_LASTS,
    Authority,
    authority,
    authority_path,
    is_readable_by_others,
)
from teewright.web.field.plain import code, make_plain_app, places
from teewright.web.field.servers import bound, listen
from teewright.web.settings import Settings

NOW = datetime(2027, 5, 3, 12, 0, tzinfo=UTC)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return authority_path(tmp_path / "job.tee")


def test_it_is_made_once_and_only_its_owner_reads_it(path: Path) -> None:
    made = authority(path, now=NOW)
    assert path.name == "job.tee.authority.pem"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert not is_readable_by_others(path)
    assert authority(path, now=NOW + timedelta(days=30)) == made
    path.chmod(0o644)
    assert is_readable_by_others(path)


def test_one_that_ends_too_soon_is_made_anew(path: Path) -> None:
    made = authority(path, now=NOW)
    later = NOW + AUTHORITY_LASTS - SERVER_LASTS + timedelta(days=1)
    assert authority(path, now=later) != made


def test_a_file_that_holds_none_is_told(path: Path) -> None:
    path.write_text("-----BEGIN CERTIFICATE-----\nnothing\n")
    with pytest.raises(FileFormatError, match="remove it and a new one is made"):
        authority(path, now=NOW)


def test_it_can_vouch_for_nothing_but_private_places(path: Path) -> None:
    made = x509.load_pem_x509_certificate(authority(path, now=NOW).certificate)
    constraints = made.extensions.get_extension_for_class(x509.NameConstraints)
    assert constraints.critical
    assert constraints.value.permitted_subtrees is not None
    named = {str(each.value) for each in constraints.value.permitted_subtrees}
    assert {"192.168.0.0/16", "10.0.0.0/8", "localhost", "local"} <= named
    basic = made.extensions.get_extension_for_class(x509.BasicConstraints)
    assert (basic.value.ca, basic.value.path_length) == (True, 0)


def spoken(known: Authority, named: list[str], asked: str) -> str:
    """TLS between two ends in memory; what the client says of it."""
    now = datetime.now(UTC)
    there, back = ssl.MemoryBIO(), ssl.MemoryBIO()
    client_side = ssl.create_default_context(cadata=known.certificate.decode())
    client = client_side.wrap_bio(back, there, server_hostname=asked)
    server = known.context(named, now).wrap_bio(there, back, server_side=True)
    for _ in range(4):
        for end in (client, server):
            try:
                end.do_handshake()
            except ssl.SSLWantReadError:
                continue
            except ssl.SSLCertVerificationError as error:
                return error.verify_message
    return "trusted"


@pytest.mark.parametrize("asked", ["192.168.8.10", "localhost", "van.local", "127.0.0.1"])
def test_its_servers_are_trusted_under_their_own_names(path: Path, asked: str) -> None:
    known = authority(path)
    assert (
        spoken(known, ["192.168.8.10", "localhost", "van.local", "127.0.0.1"], asked) == "trusted"
    )
    assert "mismatch" in spoken(known, ["10.0.0.1"], asked)


@pytest.mark.parametrize("asked", ["bank.example", "8.8.8.8", "van.local.example"])
def test_who_steals_it_can_pose_as_no_server_of_the_world(path: Path, asked: str) -> None:
    assert "permitted subtree" in spoken(authority(path), [asked], asked)


def test_a_server_is_trusted_for_less_than_398_days(path: Path) -> None:
    assert timedelta(days=2) + SERVER_LASTS < timedelta(days=400)
    assert timedelta(days=398) > SERVER_LASTS
    assert authority(path).fingerprint.count(" ") == 31


def test_addresses_may_be_named_if_they_are_private() -> None:
    assert addresses.chosen(["192.168.8.10", "van.local"]) == ("192.168.8.10", "van.local")
    for wrong in ("8.8.8.8", "example.com", "local", "van.local.example", "192.168.8", "a b.local"):
        with pytest.raises(InputError, match="no private address and no local name"):
            addresses.chosen([wrong])


class Adapter:
    def __init__(self, name: str, *ips: object) -> None:
        self.nice_name = name
        self.ips = [type("Ip", (), {"ip": ip})() for ip in ips]


def network(*adapters: Adapter) -> Callable[[], list[Adapter]]:
    return lambda: list(adapters)


def test_private_addresses_are_found_real_networks_first(monkeypatch: pytest.MonkeyPatch) -> None:
    found = network(
        Adapter("lo", "127.0.0.1", ("::1", 0, 0)),
        Adapter("docker0", "172.17.0.1"),
        Adapter("wlan0", "192.168.8.10", ("fe80::1", 0, 3)),
        Adapter("eth0", "8.8.8.8", "10.1.2.3"),
    )
    monkeypatch.setattr("ifaddr.get_adapters", found)
    assert addresses.own_addresses() == ("192.168.8.10", "10.1.2.3", "172.17.0.1")


def test_without_a_network_it_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ifaddr.get_adapters", network(Adapter("lo", "127.0.0.1")))
    with pytest.raises(InputError, match="join the van's network first"):
        addresses.chosen([])


@pytest.mark.parametrize(
    ("host", "name"),
    [("van", "van.local"), ("Van-2.home.arpa", "van-2.local"), ("localhost", ""), ("ä", "")],
)
def test_the_name_of_this_machine(monkeypatch: pytest.MonkeyPatch, host: str, name: str) -> None:
    monkeypatch.setattr("socket.gethostname", lambda: host)
    assert addresses.own_name() == name


def test_a_port_that_is_taken_is_said() -> None:
    with bound("127.0.0.1", 0) as taken:
        port = taken.getsockname()[1]
        with contextlib.suppress(InputError), bound("127.0.0.1", port) as late:
            listen(taken)  # some systems bind two, but let only one of them listen
            with pytest.raises(InputError, match="is in use by another program"):
                listen(late)
        listen(taken)
        with pytest.raises(InputError, match="is in use by another program"):
            bound("127.0.0.1", port)


def test_who_asks_at_a_port_that_does_not_listen_yet_is_refused_and_then_waits() -> None:
    with bound("127.0.0.1", 0) as place:
        with pytest.raises(ConnectionRefusedError):
            socket.create_connection(place.getsockname())
        listen(place)
        socket.create_connection(place.getsockname()).close()


def test_an_answer_does_not_wait_for_more_to_send() -> None:
    with bound("127.0.0.1", 0) as place:
        taken: list[int] = []

        async def talk() -> None:
            async def answer(_: asyncio.StreamReader, out: asyncio.StreamWriter) -> None:
                talking = out.get_extra_info("socket")
                taken.append(talking.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY))
                out.close()

            server = await asyncio.start_server(answer, sock=place)
            reader, writer = await asyncio.open_connection(*place.getsockname())
            await reader.read()
            writer.close()
            server.close()

        # a loop of its own: the thread of the tests may have the browser's
        with ThreadPoolExecutor(1) as pool:
            pool.submit(lambda: asyncio.run(talk())).result()
    assert taken
    assert all(taken)


def plain(path: Path, known: Authority) -> TestClient:
    found = places(("192.168.8.10", "van.local"), 8317, 8318)
    settings = Settings(path, hosts=("192.168.8.10", "van.local", "localhost"))
    return TestClient(make_plain_app(settings, known, found), base_url="http://192.168.8.10:8318")


def test_in_the_clear_there_is_only_the_certificate_and_how_to_trust_it(path: Path) -> None:
    known = authority(path)
    client = plain(path, known)
    told = client.get("/")
    assert "https://192.168.8.10:8317/" in told.text
    assert all(pair in told.text for pair in known.fingerprint.split())
    given = client.get("/field/ca.pem")
    assert given.content == known.certificate
    assert b"PRIVATE" not in given.content
    assert given.headers["content-type"] == "application/x-x509-ca-cert"
    assert [client.get(p).status_code for p in ("/api/v1/log", "/survey", "/sign-in")] == [404] * 3
    assert client.get("/", headers={"Host": "evil.example"}).status_code == 421
    other = client.get("/", headers={"Host": "van.local:8318"})
    assert "https://van.local:8317/" in other.text


def test_the_codes_stand_on_a_page_for_the_screen_in_the_van(path: Path) -> None:
    told = plain(path, authority(path)).get("/field", headers={"Host": "localhost:8318"})
    assert told.text.count('class="code"') == 4
    assert "http://van.local:8318/" in told.text
    assert "style=" not in told.text


def test_a_code_is_drawn_without_style_of_its_own() -> None:
    drawn = code("https://192.168.8.10:8317/")
    assert drawn.startswith("<svg")
    assert "style" not in drawn
