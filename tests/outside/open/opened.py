"""`lastwright open` on a copy of a style's folder, and requests to it."""
import http.client
import json
import pathlib
import re
import shutil
import subprocess
import tempfile


def in_few_sizes(folder):
    """A copy of the demo in eight sizes and three widths, else to the byte as it is: each change is graded and drawn in as much less time."""
    made = pathlib.Path(tempfile.mkdtemp(prefix="open-"))
    shutil.copytree(folder, made, dirs_exist_ok=True)
    text = (made / "style.json").read_text()
    for found, put in ((r'"run": \{[^}]*\}', '"run": {"from": "6", "to": "9.5", "by": "1/2", "widths": ["E", "F", "G"]}'),
                       (r' "counts": \[[^]]*\],', ""), (r',\n *"sizes_tied": \[[^]]*\]', "")):
        text, times = re.subn(found, put, text)
        if not times:
            raise RuntimeError(f"the demo has no {found}")
    (made / "style.json").write_text(text)
    return made


class Opened:
    def __init__(self, program, folder, at=None, limits=None, words=("style.json",), style="style.json"):
        self.folder = pathlib.Path(at or tempfile.mkdtemp(prefix="open-"))
        if at is None:
            shutil.copytree(folder, self.folder, dirs_exist_ok=True)
        self.style = self.folder / style
        self.draft = self.folder / (style + ".draft")
        self.process = subprocess.Popen([program, "open", *words], cwd=self.folder, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                                        stderr=subprocess.PIPE, text=True, preexec_fn=limits)
        self.told = self.process.stdout.readline() + self.process.stdout.readline()
        found = re.search(r"http://127\.0\.0\.1:(\d+)/#([0-9a-f]{32})", self.told)
        if not found:
            raise RuntimeError(f"no address: {self.told}{self.process.stderr.read()}")
        self.address, self.port, self.token = found[0], int(found[1]), found[2]
        self.host = f"127.0.0.1:{self.port}"
        self.key = ""

    def __enter__(self):
        return self

    def __exit__(self, *_):
        if self.process.poll() is None:
            self.process.terminate()
            self.process.wait(20)
        self.process.stdout.close()
        self.process.stderr.close()

    def kill(self):
        self.process.kill()
        self.process.wait()

    def raw(self, method, path, body=b"", **fields):
        """(status, fields, body); a field that is None is left out."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        fields = {"Host": self.host, "Origin": "http://" + self.host, "Content-Type": "application/json", "X-Key": self.key,
                  "Content-Length": str(len(body)), **{name.replace("_", "-"): value for name, value in fields.items()}}
        if method == "GET":
            fields.pop("Content-Length")
        connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
        for name, value in fields.items():
            for one in value if isinstance(value, list) else [value]:
                if one is not None:
                    connection.putheader(name, one)
        connection.endheaders()
        try:
            connection.send(body)
        except OSError:
            pass  # refused by its head, and no more is read
        reply = connection.getresponse()
        answer = reply.status, dict(reply.getheaders()), reply.read()
        connection.close()
        return answer

    def ask(self, path, **asked):
        """(status, answer) of a request as the page makes it."""
        status, _, body = self.raw("POST", path, json.dumps(asked).encode())
        return status, json.loads(body)

    def enter(self):
        status, answer = self.ask("/enter", token=self.token)
        if status == 200:
            self.key = answer["key"]
        return status

    def memory(self):
        """The most memory that it has had, in MB."""
        return int(re.search(r"VmHWM:\s+(\d+)", pathlib.Path(f"/proc/{self.process.pid}/status").read_text())[1]) / 1024
