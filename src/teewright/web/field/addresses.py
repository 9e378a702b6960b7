"""Addresses under which tablets in the van's network find this machine."""

import re
import socket
from collections.abc import Sequence
from ipaddress import IPv4Address, ip_address

import ifaddr

from teewright.errors import InputError
from teewright.web.field.authority import LOCAL_NAMES, PRIVATE

_VIRTUAL = re.compile(r"^(docker|br-|veth|virbr|vmnet|vboxnet|vethernet|tun|tap|utun|zt|wg)", re.I)
_NAME = re.compile(r"^[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?$")


def own_addresses() -> tuple[str, ...]:
    """Private IPv4 addresses of this machine, those of real networks first."""
    found = [
        (bool(_VIRTUAL.match(adapter.nice_name)), each.ip)
        for adapter in ifaddr.get_adapters()
        for each in adapter.ips
        if isinstance(each.ip, str) and _serves(IPv4Address(each.ip))
    ]
    return tuple(dict.fromkeys(address for _, address in sorted(found, key=lambda pair: pair[0])))


def own_name() -> str:
    """Name of this machine in a network without a name server, or empty."""
    name = socket.gethostname().split(".")[0].lower()
    return f"{name}.local" if _NAME.match(name) and name not in LOCAL_NAMES else ""


def chosen(named: Sequence[str]) -> tuple[str, ...]:
    """Addresses as they were named, or those of this machine.

    Args:
        named: Addresses or local names; none for those that are found.

    Raises:
        InputError: One is neither private nor local, or there is none.
    """
    for each in named:
        if not _may_be_named(each):
            raise InputError(
                "is no private address and no local name",
                field="--address",
                value=each,
                allowed="e.g. 192.168.8.10 or van.local",
            )
    found = tuple(dict.fromkeys(named)) or own_addresses()
    if not found:
        raise InputError(
            "this machine is in no private network now",
            allowed="join the van's network first, or name its address there with --address",
        )
    return found


def _may_be_named(text: str) -> bool:
    try:
        return any(ip_address(text) in network for network in PRIVATE)
    except ValueError:
        return text in LOCAL_NAMES[:1] or (
            text.endswith(".local") and all(_NAME.match(part) for part in text.split("."))
        )


def _serves(address: IPv4Address) -> bool:
    return not address.is_loopback and any(address in network for network in PRIVATE)
