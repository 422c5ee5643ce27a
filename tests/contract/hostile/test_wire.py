"""Bytes on the wire: framing that two readers read in two ways, slow and broken clients."""

from __future__ import annotations

import json
import socket
import time

import pytest

from tests.contract.hostile.firing import Range
from tests.contract.hostile.walking import taking_a_body
from tests.contract.serving import exchange
from tests.end_to_end.running import Server

pytestmark = pytest.mark.xdist_group("hostile")

OPERATION = taking_a_body()[0]
SOUND = json.dumps(OPERATION.examples[0], separators=(",", ":")).encode()
_NEXT = b"GET /v1/smuggled HTTP/1.1\r\nhost: x\r\n\r\n"
_CHUNKED = b"transfer-encoding: chunked"
_LENGTH = b"content-length: %d" % len(SOUND)
_IN_CHUNKS = b"%x\r\n%s\r\n0\r\n\r\n" % (len(SOUND), SOUND)


def _post(*headers: bytes, body: bytes = SOUND, line: bytes = b"") -> bytes:
    first = line or b"POST %s HTTP/1.1" % OPERATION.address.encode()
    lines = [first, b"host: x", b"content-type: application/json", *headers]
    return b"\r\n".join(lines) + b"\r\n\r\n" + body


AMBIGUOUS: dict[str, bytes] = {
    "length and chunks": _post(_LENGTH, _CHUNKED, body=_IN_CHUNKS + _NEXT),
    "chunks and length": _post(_CHUNKED, _LENGTH, body=_IN_CHUNKS + _NEXT),
    "two lengths": _post(_LENGTH, b"content-length: 0", body=SOUND + _NEXT),
    "two equal lengths": _post(_LENGTH, _LENGTH),
    "a list of lengths": _post(b"content-length: %d, %d" % (len(SOUND), len(SOUND))),
    "a length with a plus": _post(b"content-length: +%d" % len(SOUND)),
    "a negative length": _post(b"content-length: -1"),
    "a length in hexadecimal": _post(b"content-length: 0x10"),
    "a length with a decimal": _post(b"content-length: 10.0"),
    "a length of nothing": _post(b"content-length:"),
    "a length beyond 64 bits": _post(b"content-length: 18446744073709551616"),
    "a length with a space inside": _post(b"content-length: 1 0"),
    "xchunked": _post(b"transfer-encoding: xchunked", body=_IN_CHUNKS),
    "chunked twice": _post(_CHUNKED, _CHUNKED, body=_IN_CHUNKS),
    "chunked, identity": _post(b"transfer-encoding: chunked, identity", body=_IN_CHUNKS),
    "identity, chunked": _post(b"transfer-encoding: identity, chunked", body=_IN_CHUNKS),
    "gzip, chunked": _post(b"transfer-encoding: gzip, chunked", body=_IN_CHUNKS),
    "chunked with a tab": _post(b"transfer-encoding:\tchunked\x0b", body=_IN_CHUNKS),
    "chunked in quotes": _post(b'transfer-encoding: "chunked"', body=_IN_CHUNKS),
    "a space before the colon": _post(b"transfer-encoding : chunked", body=_IN_CHUNKS),
    "a length with a space before the colon": _post(b"content-length : %d" % len(SOUND)),
    "a folded header": _post(b"transfer-encoding:\r\n chunked", body=_IN_CHUNKS),
    "an underscore for a dash": _post(_LENGTH, b"transfer_encoding: chunked\x00", body=SOUND),
    "line feeds alone": _post(_LENGTH).replace(b"\r\n", b"\n"),
    "carriage returns alone": _post(_LENGTH).replace(b"\r\n", b"\r"),
    "a return in a value": _post(_LENGTH, b"x: a\rb: c"),
    "NUL in a value": _post(_LENGTH, b"x: a\0b"),
    "NUL in a name": _post(_LENGTH, b"x\0y: a"),
    "a header without a colon": _post(_LENGTH, b"nonsense"),
    "an empty name": _post(_LENGTH, b": a"),
    "two hosts": _post(_LENGTH, b"host: y"),
    "no host": _post(_LENGTH).replace(b"host: x\r\n", b""),
    "a host with a path": _post(_LENGTH).replace(b"host: x", b"host: x/y"),
    "a host with a user": _post(_LENGTH).replace(b"host: x", b"host: a@x"),
    "chunks in HTTP/1.0": _post(_CHUNKED, body=_IN_CHUNKS,
                                line=b"POST %s HTTP/1.0" % OPERATION.address.encode()),
    "HTTP/0.9": b"GET /v1/kinds\r\n\r\n",
    "HTTP/1.2": _post(_LENGTH, line=b"POST / HTTP/1.2"),
    "HTTP/2 in the clear": b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
    "a negative chunk": _post(_CHUNKED, body=b"-1\r\n%s\r\n0\r\n\r\n" % SOUND),
    "a chunk beyond 64 bits": _post(_CHUNKED, body=b"10000000000000000\r\na\r\n0\r\n\r\n"),
    "a chunk of 0x10": _post(_CHUNKED, body=b"0x%x\r\n%s\r\n0\r\n\r\n" % (len(SOUND), SOUND)),
    "a chunk longer than said": _post(_CHUNKED, body=b"1\r\n%s\r\n0\r\n\r\n" % SOUND),
    "a chunk ended by a line feed": _post(_CHUNKED, body=_IN_CHUNKS.replace(b"\r\n", b"\n")),
    "a trailer that is a header": _post(
        _CHUNKED, body=_IN_CHUNKS[:-2] + b"content-length: 1\r\nauthorization: x\r\n\r\n"),
    "two spaces in the line": _post(_LENGTH, line=b"POST  / HTTP/1.1"),
    "a tab in the line": _post(_LENGTH, line=b"POST\t/ HTTP/1.1"),
    "bytes over 127 in the path": _post(_LENGTH, line=b"POST /v1/\xff HTTP/1.1"),
    "a method in lower case": _post(_LENGTH, line=b"post / HTTP/1.1"),
    "a method of our own": _post(_LENGTH, line=b"TAKE / HTTP/1.1"),
    "another protocol and a body": _post(
        _LENGTH, b"connection: upgrade", b"upgrade: h2c", body=SOUND + _NEXT),
    "another protocol and chunks": _post(
        _CHUNKED, b"connection: upgrade", b"upgrade: h2c", body=_IN_CHUNKS + _NEXT),
    "a tunnel": b"CONNECT x:80 HTTP/1.1\r\nhost: x\r\n\r\n" + _NEXT,
    "noise": bytes(range(256)) * 4,
    "a TLS greeting": b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + bytes(32),
}  # fmt: skip
"""Framing that is ambiguous, or no HTTP at all: one refusal, and the connection ends."""

PLAIN: dict[str, bytes] = {
    "a length": _post(_LENGTH),
    "chunks": _post(_CHUNKED, body=_IN_CHUNKS),
    "chunks, other letters": _post(b"Transfer-Encoding: Chunked", body=_IN_CHUNKS),
    "an extension of a chunk": _post(_CHUNKED, body=b"%x;a=b\r\n%s\r\n0\r\n\r\n" % (
        len(SOUND), SOUND)),
    "a zero before the length": _post(b"content-length: 00%d" % len(SOUND)),
    "waits for 100": _post(_LENGTH, b"expect: 100-continue"),
    "asks for another protocol": b"GET %s HTTP/1.1\r\nhost: x\r\nconnection: upgrade\r\n"
    b"upgrade: websocket\r\n\r\n" % b"/health/live",
}  # fmt: skip
_LAST = b"GET /health/live HTTP/1.1\r\nhost: x\r\nconnection: close\r\n\r\n"


def _answers(said: bytes) -> list[bytes]:
    """The status of each final answer."""
    parts = said.split(b"HTTP/1.1 ")[1:]
    return [part[:3] for part in parts if not part.startswith(b"1")]


@pytest.mark.parametrize("name", AMBIGUOUS)
def test_ambiguous_framing_gets_one_refusal_and_the_end(name: str, server: Server) -> None:
    said = exchange(server.client, AMBIGUOUS[name], seconds=3)
    statuses = _answers(said)
    assert len(statuses) <= 1, said[:400]
    assert all(status.startswith(b"4") for status in statuses), said[:400]
    assert server.client.get("/health/live").status_code == 200


@pytest.mark.parametrize("name", PLAIN)
def test_plain_framing_gets_one_answer(name: str, server: Server) -> None:
    """And what is asked next on the connection, which then ends, one more; after no upgrade."""
    said = exchange(server.client, PLAIN[name] + _LAST, seconds=20)
    further = 0 if b"upgrade" in PLAIN[name] else 1
    assert _answers(said) == [b"200"] * (1 + further), said[:400]
    assert said.count(b'{"status":"live"}') == 1, said[-400:]


def _opened(server: Server, sent: bytes) -> socket.socket:
    address = (server.client.base_url.host, server.client.base_url.port or 80)
    one = socket.create_connection(address, timeout=1)
    one.sendall(sent)
    return one


def _is_open(one: socket.socket) -> bool:
    """Whether the other side still holds the connection; takes in what was said."""
    one.setblocking(False)
    try:
        while one.recv(65_536):
            continue
    except BlockingIOError:
        return True
    except OSError:
        pass
    return False


_TRICKLES: dict[str, tuple[bytes, bytes]] = {
    "nothing": (b"", b""),
    "a head a byte at a time": (b"POST /v1/takeoffs HTTP/1.1\r\n", b"a"),
    "a body that never comes": (_post(_LENGTH, body=b""), b""),
    "a body a byte at a time": (_post(_LENGTH, body=b""), b" "),
    "chunks a byte at a time": (_post(_CHUNKED, body=b""), b"1\r\n \r\n"),
    "a chunk's extension without end": (_post(_CHUNKED, body=b"1;"), b"a"),
    "a body for what takes none": (b"GET /v1/kinds HTTP/1.1\r\nhost: x\r\ncontent-length: 99999"
                                   b"\r\n\r\n", b" "),
    "headers without end": (b"GET / HTTP/1.1\r\nhost: x\r\n", b"a: b\r\n"),
    "answered, then half a head": (b"GET /health/live HTTP/1.1\r\nhost: x\r\n\r\nGET / ", b""),
    "answered, then line ends": (b"GET /health/live HTTP/1.1\r\nhost: x\r\n\r\n", b"\r\n"),
}  # fmt: skip


def test_slow_clients_are_cut_off_and_others_do_not_notice(server: Server, shooting: Range) -> None:
    """Each way of being slow, several at once: after 20 s no connection is left."""
    slow = {(name, k): _opened(server, sent) for name, (sent, _) in _TRICKLES.items()
            for k in range(4)}  # fmt: skip
    began = time.monotonic()
    left = dict(slow)
    while left and time.monotonic() - began < 20:
        time.sleep(0.5)
        for (name, k), one in list(left.items()):
            if not _is_open(one):
                del left[name, k]
                continue
            try:
                one.send(_TRICKLES[name][1])
            except OSError:
                del left[name, k]
        asked = time.monotonic()
        assert server.client.get("/health/live").status_code == 200
        assert time.monotonic() - asked < 2
    for one in slow.values():
        one.close()
    assert not left, sorted({name for name, _ in left})


def test_clients_that_never_read_are_cut_off(server: Server) -> None:
    """They ask for much and take nothing: the answers do not pile up here for long."""
    head = b"GET /docs/swagger-ui-bundle.js HTTP/1.1\r\nhost: x\r\n\r\n"
    deaf = []
    for sent in (head * 20, PLAIN["a length"] * 40):
        one = socket.socket()
        one.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4_096)
        one.connect((server.client.base_url.host, server.client.base_url.port or 80))
        one.sendall(sent)
        deaf.append(one)
    began = time.monotonic()
    while server.connections() and time.monotonic() - began < 25:
        time.sleep(0.5)
    for one in deaf:
        one.close()
    assert not server.connections()


def test_clients_that_leave_cost_nothing_for_long(server: Server, shooting: Range) -> None:
    """Many ask and leave at once; soon the service computes nothing and answers as before."""
    for k in range(60):
        one = _opened(server, PLAIN["a length"] if k % 2 else _post(_LENGTH, body=SOUND[:-2]))
        one.close()
    began = time.monotonic()
    while (share := server.busy()) > 0.2 and time.monotonic() - began < 12:
        time.sleep(0.2)
    assert share <= 0.2
    answer = server.client.post(OPERATION.address, content=SOUND,
                                headers={"Content-Type": "application/json"})  # fmt: skip
    assert answer.status_code == 200
