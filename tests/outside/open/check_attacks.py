"""What `lastwright open` lets in, and what it costs to be asked by who means harm.
usage: check_attacks.py LASTWRIGHT STYLE-FOLDER
"""
import json
import pathlib
import random
import shutil
import socket
import sys

sys.path.insert(0, str(pathlib.Path(__file__).parent.parent / "report"))
from faults import check, faults
from opened import Opened

program, folder = sys.argv[1], pathlib.Path(sys.argv[2])
MOST_MB = 90  # over what it takes to hold the demo


def connected(opened):
    made = socket.create_connection(("127.0.0.1", opened.port), timeout=60)
    return made


def answered(opened, text):
    """The status line of whatever is sent, or "" where the connection is closed without one."""
    with connected(opened) as made:
        try:
            made.sendall(text)
            made.shutdown(socket.SHUT_WR)
            got = b""
            while some := made.recv(65536):
                got += some
        except OSError:
            got = b""
        return got.split(b"\r\n")[0].decode("latin-1")


def poured(opened, start):
    """MB that can be sent after the start before the connection is closed; 300 are tried."""
    with connected(opened) as made:
        for sent in range(300):
            try:
                made.sendall((start if sent == 0 else b"") + b"x" * 1_000_000)
            except OSError:
                return sent
    return 300


def alive(opened):
    return opened.raw("GET", "/")[0] == 200


def check_door(opened):
    status, fields, body = opened.raw("GET", "/")
    check(status == 200 and b"<main>" in body, "the page is not served")
    check(fields.get("Content-Security-Policy") == "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self'; "
          "base-uri 'none'; form-action 'none'; frame-ancestors 'none'", f"the policy: {fields.get('Content-Security-Policy')}")
    for name, value in {"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer", "Cache-Control": "no-store",
                        "Cross-Origin-Resource-Policy": "same-origin", "X-Frame-Options": "DENY"}.items():
        check(fields.get(name) == value, f"{name}: {fields.get(name)}")
    check(not any(name.lower().startswith(("access-control", "set-cookie", "server")) for name in fields), f"fields that have no place: {fields}")
    foreign = ["example.org", f"example.org:{opened.port}", f"localhost:{opened.port}", "127.0.0.1", f"127.0.0.1:{opened.port}.example.org", f"127.0.0.2:{opened.port}",
               None, "", [opened.host, opened.host], [opened.host, "example.org"]]
    for host in foreign:
        check(opened.raw("GET", "/", Host=host)[0] in (400, 403), f"let in with the Host {host}")
        check(opened.raw("POST", "/enter", b'{"token": "%s"}' % opened.token.encode(), Host=host)[0] in (400, 403), f"the token taken with the Host {host}")
    own = "http://" + opened.host
    for origin in ["http://example.org", "null", None, "", "https://" + opened.host, own + ".example.org", own + "/", [own, own], own.upper()]:
        check(opened.raw("POST", "/enter", b'{"token": "%s"}' % opened.token.encode(), Origin=origin)[0] == 403, f"let in with the Origin {origin}")
    for site in ["cross-site", "same-site"]:
        check(opened.raw("GET", "/", Sec_Fetch_Site=site)[0] == 403, f"let in from {site}")
    check(opened.raw("POST", "/enter", b"token=" + opened.token.encode(), Content_Type="text/plain")[0] == 415, "a form was read")
    for method in ["PUT", "DELETE", "OPTIONS", "TRACE", "CONNECT", "PATCH", "get"]:
        check(opened.raw(method, "/")[0] in (400, 405), f"{method} was answered")
    listening = [line.split()[1] for line in pathlib.Path("/proc/net/tcp").read_text().splitlines()[1:] if line.split()[3] == "0A"]
    check(f"0100007F:{opened.port:04X}" in listening and f"00000000:{opened.port:04X}" not in listening, "it listens to more than the loopback address")


def check_key(opened):
    paths = ["/state", "/change", "/steps", "/look", "/sheet", "/checks", "/save", "/save-aside", "/take-file", "/choices", "/draft", "/pile", "/redraw", "/compare", "/jobs", "/start"]
    for key in ["", None, "0" * 32, opened.token, "ff" * 500]:
        for path in paths:
            check(opened.raw("POST", path, b"{}", X_Key=key)[0] == 403, f"{path} was answered for the key {key}")
    for token in [b'{"token": ""}', b'{"token": "%s"}' % (b"0" * 32), b'{"token": 5}', b"{}", b"[]", b"", b"null", b'{"token": "%s0"}' % opened.token.encode()]:
        check(opened.raw("POST", "/enter", token)[0] == 403, f"let in with {token}")
    check(opened.enter() == 200, "not let in with the token")
    key = opened.key
    check(opened.ask("/state")[0] == 200, "not answered with the key")
    check(opened.ask("/enter", token=opened.token)[0] == 403 and opened.raw("POST", "/enter", json.dumps({"token": opened.token}).encode())[0] == 403, "the token opened twice")
    check(opened.key == key and opened.ask("/state")[0] == 200, "the first page was put out by a spent token")
    check(opened.raw("POST", "/state", b"{}", X_Key=[key, key])[0] == 403, "a key given twice was taken")


def check_paths(opened):
    for path in ["/../../etc/passwd", "/..%2f..%2fetc/passwd", "//etc/passwd", "/bench.js/../../../etc/passwd", "/style.json", "/style.json.draft", "/shell.dxf", "/bench.html/", "/./", "/bench.js%00",
                 "/bench.js?x", "/page_table.cpp.in", "http://127.0.0.1/", "*", "/" + "a" * 9000]:
        status, _, body = opened.raw("GET", path)
        check(status in (400, 404) and b"root:" not in body, f"{path[:40]} gave {status}")
        check(opened.raw("POST", path, b"{}")[0] in (400, 404), f"{path[:40]} was posted to")


def check_floods(opened):
    before = opened.memory()
    head = f"POST /state HTTP/1.1\r\nHost: {opened.host}\r\nOrigin: http://{opened.host}\r\nContent-Type: application/json\r\nX-Key: {opened.key}\r\n"
    start = head.encode()
    check(" 413 " in answered(opened, start + b"Content-Length: 1073741824\r\n\r\n"), "a body of 1 GB was not refused by its head")
    check(poured(opened, start + b"Content-Length: 1073741824\r\n\r\n") < 50, "a body of 1 GB was read")
    check(" 413 " in answered(opened, start + b"Content-Length: 1048577\r\n\r\n"), "a body over 1 MiB was not refused")
    for length in [b"Transfer-Encoding: chunked\r\n\r\n5\r\n{}   \r\n0\r\n\r\n", b"\r\n", b"Content-Length: -1\r\n\r\n", b"Content-Length: 2\r\nContent-Length: 3\r\n\r\n{}", b"Content-Length: 99999999999999999999\r\n\r\n",
                   b"Content-Length: 2\r\nTransfer-Encoding: chunked\r\n\r\n{}", b"Content-Length: 0x2\r\n\r\n{}"]:
        said = answered(opened, start + length)
        check(" 200 " not in said, f"answered {said} to {length[:40]}")
    check(" 200 " not in answered(opened, start.replace(b"\r\n", b"\n") + b"Content-Length: 2\n\n{}"), "bare line ends were taken")
    # A head without an end: sent until it is refused.
    check(poured(opened, b"GET / HTTP/1.1\r\nX-Long: ") < 50, "a head without an end was read")
    # A thousand connections that say a little and wait; the page is still served.
    slow = []
    for i in range(1000):
        made = connected(opened)
        try:
            made.sendall([b"G", b"POST /state HTTP/1.1\r\nHost: ", start + b"Content-Length: 1000\r\n\r\n{", b""][i % 4] if i % 4 != 2 else start.replace(opened.key.encode(), b"0" * 32) + b"Content-Length: 1000\r\n\r\n{")
        except OSError:
            pass
        slow.append(made)
        if i % 100 == 99:
            check(alive(opened), f"the page is not served beside {i + 1} slow connections")
            check(opened.ask("/state")[0] == 200, f"the style is not served beside {i + 1} slow connections")
    for made in slow:
        made.close()
    # Who never takes the answer.
    lazy = []
    for _ in range(100):
        made = connected(opened)
        made.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
        made.sendall(f"GET /bench.js HTTP/1.1\r\nHost: {opened.host}\r\n\r\n".encode() * 20)
        lazy.append(made)
    check(alive(opened), "the page is not served beside those that do not take their answers")
    for made in lazy:
        made.close()
    grown = opened.memory() - before
    print(f"memory: {before:.0f} MB before the floods, {grown:.0f} MB more at most")
    check(grown < MOST_MB, f"the floods took {grown:.0f} MB")


def check_bytes(opened):
    draw = random.Random(7)
    words = [b"GET", b"POST", b" ", b"/", b"/state", b"HTTP/1.1", b"\r\n", b"\n", b":", b"Host: ", opened.host.encode(), b"Content-Length: ", b"5", b"\0", b"\xff", b"Origin", b"{", b"Transfer-Encoding: chunked", b"Expect: 100-continue",
             b"Upgrade: websocket", b"%", b"a" * 300]
    for _ in range(600):
        answered(opened, b"".join(draw.choice(words) for _ in range(draw.randrange(40))))
    check(alive(opened), "it did not outlive random requests")


def check_json(opened):
    text = opened.style.read_bytes()
    deep = b"[" * 100_000
    bodies = [b"", b"[]", b"null", b"5", b'"x"', deep, b'{"says": "x", "edits": ' + deep, b'{"a":' * 5000, b"\xff\xfe", b'{"to": 1e999}', b'{"to": 1, "to": 2}']
    for path in ["/state", "/change", "/steps", "/sheet", "/checks", "/save-aside", "/draft", "/redraw", "/compare", "/start"]:
        for body in bodies:
            status, _, answer = opened.raw("POST", path, body)
            check(status == 400 and "refused" in json.loads(answer), f"{path} gave {status} to {body[:30]}")
    for asked in [{}, {"says": "x"}, {"says": "", "edits": []}, {"says": 5, "edits": []}, {"says": "x", "edits": {}}, {"says": "x", "edits": [5]}, {"says": "x", "edits": [{"do": "set"}]}, {"says": "x", "edits": [{"do": "burn", "at": "/name"}]},
                  {"says": "x", "edits": [{"do": "set", "at": 5}]}, {"says": "x", "edits": [{"do": "set", "at": "/name", "to": 1}] * 5001}]:
        check(opened.ask("/change", **asked)[0] == 400, f"taken: {str(asked)[:80]}")
    for edit in [{"do": "set", "at": "name", "to": 1}, {"do": "set", "at": "/pieces/99/name", "to": 1}, {"do": "set", "at": "/pieces/-1", "to": 1}, {"do": "remove", "at": ""}, {"do": "rename", "at": "/name", "to": "works"}, {"do": "insert", "at": "/name", "to": 1},
                 {"do": "insert", "at": "/pieces/100000000000000000000", "to": 1}, {"do": "set", "at": "/name/~2/x", "to": 1}]:
        status, answer = opened.ask("/change", says="x", edits=[edit])
        check(status == 422 and answer["refused"], f"{edit} gave {status}")
    for named in [None, 5, [], {}, {"what": "burn"}, {"what": "rename piece"}, {"what": "rename piece", "piece": "vamp", "name": "tongue"}, {"what": "corner off", "piece": "vamp", "corner": ["x"]}]:
        check(opened.ask("/change", says="x", named=named)[0] == 422, f"{named} was taken")
    # No name from the page becomes a path: only plain files of the style's own folder are known, by their names.
    (opened.folder / "link.json").symlink_to("/etc/passwd")
    (opened.folder / "link.dxf").symlink_to(opened.folder / "shell.dxf")
    for name in ["../style.json", "/etc/passwd", str(opened.style), "./style.json", "link.json", "link.dxf", "", "style.json/", "style.json\0", ".", "..", "shell.dxf\n", 5, None, ["style.json"], {"a": 1}]:
        for path, asked in [("/compare", {"with": name}), ("/redraw", {"drawing": "shell", "file": name}), ("/draft", {"measures": name} if isinstance(name, str) and name else {"kinds": ["../../" + str(name)]})]:
            status, answer = opened.ask(path, **asked)
            check(status == 422 and answer["refused"], f"{path} with {name!r} gave {status}")
    check(opened.ask("/choices")[1]["measures"] == sorted(path.name for path in folder.glob("*.json")), f"files are offered that are none: {opened.ask('/choices')[1]['measures']}")
    (opened.folder / "link.json").unlink()
    (opened.folder / "link.dxf").unlink()
    for kind in ["", "grade; rm -rf .", "last", "--help", "../grade", 5, None, ["grade"], "open"]:
        status, answer = opened.ask("/start", kind=kind)
        check(status == 422 and "no work" in answer["refused"], f"{kind!r} was started: {status}")
    for asked in [{}, {"what": "accept"}, {"what": "accept", "proposals": [0]}, {"what": "refuse", "proposals": [-1]}, {"what": "accept", "proposals": [1e99]}]:
        check(opened.ask("/change", says="x", named=asked)[0] == 422, f"{asked} was taken")
    for to in [-1, 1, 1e300, "0", None]:
        check(opened.ask("/steps", to=to)[0] == 400, f"went to step {to}")
    # A whole document of another kind is a change like any other: told, taken back.
    for thing in [5, [], {}, "x", {"lastwright_style": 1, "pieces": 7, "seams": {"a": []}, "formes": [1], "girths": 5}]:
        status, answer = opened.ask("/change", says="everything else", edits=[{"do": "set", "at": "", "to": thing}])
        check(status == 200 and answer["problems"] and answer["style"] == thing, f"{thing} gave {status}")
        for what in ["rename piece", "rename edge", "rename corner", "rename point", "rename line", "remove piece", "corner off", "corner on"]:
            status, _ = opened.ask("/change", says="x", named={"what": what, "piece": "a", "edge": "a", "corner": "a", "forme": "a", "point": "a", "line": "a", "name": "b", "at": [0, 0]})
            check(status == 422, f"{what} in {thing} gave {status}")
        check(opened.ask("/checks")[0] == 200 and opened.ask("/steps", to=0)[1]["changed"] is False, "it could not be taken back")
    check(opened.style.read_bytes() == text, "the style file was changed")
    check(set(path.name for path in opened.folder.iterdir()) - {"style.json.draft"} == set(path.name for path in folder.iterdir()), "files came or went")


with Opened(program, folder) as opened:
    check_door(opened)
    check_key(opened)
    check_paths(opened)
    check_json(opened)
    check_bytes(opened)
    check_floods(opened)
    check(opened.process.poll() is None and alive(opened) and opened.ask("/state")[0] == 200, "it did not outlive the attacks")
shutil.rmtree(opened.folder)
print(f"{len(faults)} faults")
sys.exit(1 if faults else 0)
