"""Drives a headless Chromium through its DevTools protocol over a pair of pipes: no port, no driver program, no network."""
import base64
import fcntl
import json
import os
import shutil
import subprocess
import tempfile
import threading


class Browser:
    """One browser with one page. Every request it makes is recorded in `requests`, every console message in `messages`."""

    def __init__(self, program):
        self._profile = tempfile.mkdtemp(prefix="report-browser-")
        out_read, out_write = os.pipe()  # to the browser
        in_read, in_write = os.pipe()  # from the browser

        def hand_over():
            # By numbers above all that are open, or the first copy could take the place of the other pipe.
            reads, writes = (fcntl.fcntl(pipe, fcntl.F_DUPFD, 100) for pipe in (out_read, in_write))
            os.dup2(reads, 3)
            os.dup2(writes, 4)

        self._process = subprocess.Popen(
            [program, "--headless=new", "--remote-debugging-pipe", "--no-sandbox", "--disable-gpu", "--no-first-run",
             "--disable-extensions", "--disable-background-networking", "--disable-component-update", "--disable-sync",
             "--disable-dev-shm-usage", "--no-proxy-server", "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1", "--hide-scrollbars",
             f"--user-data-dir={self._profile}", "about:blank"],
            preexec_fn=hand_over, pass_fds=(3, 4), stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL)
        os.close(out_read)
        os.close(in_write)
        self._to, self._from = out_write, in_read
        self._number, self._answers, self._changed = 0, {}, threading.Condition()
        self._gone = False
        self.requests, self.messages, self.loaded = [], [], 0
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()
        self._session = None
        targets = self.send("Target.getTargets")["targetInfos"]
        target = next(t for t in targets if t["type"] == "page")["targetId"]
        self._session = self.send("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Network", "Log", "Performance"):
            self.send(domain + ".enable")

    def __enter__(self):
        return self

    def __exit__(self, *_):
        try:
            self._session = None
            self.send("Browser.close", timeout=10)
            self._process.wait(10)
        except (RuntimeError, subprocess.TimeoutExpired):
            self._process.kill()
            self._process.wait()
        shutil.rmtree(self._profile, ignore_errors=True)

    def _read(self):
        pending = b""
        while True:
            try:
                some = os.read(self._from, 1 << 20)
            except OSError:
                some = b""
            if not some:
                with self._changed:
                    self._gone = True
                    self._changed.notify_all()
                return
            *whole, pending = (pending + some).split(b"\0")
            for text in whole:
                self._take(json.loads(text))

    def _take(self, message):
        with self._changed:
            method, data = message.get("method"), message.get("params", {})
            if "id" in message:
                self._answers[message["id"]] = message
            elif method == "Network.requestWillBeSent":
                self.requests.append(data["request"]["url"])
            elif method == "Page.loadEventFired":
                self.loaded += 1
            elif method == "Runtime.exceptionThrown":
                self.messages.append(data["exceptionDetails"].get("exception", {}).get("description", "exception"))
            elif method == "Log.entryAdded":
                self.messages.append(data["entry"]["text"])
            elif method == "Runtime.consoleAPICalled":
                self.messages.append(" ".join(str(a.get("value")) for a in data["args"]))
            self._changed.notify_all()

    def send(self, method, timeout=60, **parameters):
        with self._changed:
            self._number += 1
            number = self._number
        message = {"id": number, "method": method, "params": parameters}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._to, json.dumps(message).encode() + b"\0")
        with self._changed:
            if not self._changed.wait_for(lambda: number in self._answers or self._gone, timeout):
                raise RuntimeError(f"no answer to {method} in {timeout} s")
            if number not in self._answers:
                raise RuntimeError("the browser has gone")
            answer = self._answers.pop(number)
        if "error" in answer:
            raise RuntimeError(f"{method}: {answer['error']}")
        return answer["result"]

    def open(self, url):
        before = self.loaded
        self.send("Page.navigate", url=url)
        with self._changed:
            if not self._changed.wait_for(lambda: self.loaded > before, 60):
                raise RuntimeError("the page did not load")

    def run(self, script):
        """The value of a script, as JSON."""
        answer = self.send("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True)
        if "exceptionDetails" in answer:
            raise RuntimeError(answer["exceptionDetails"]["exception"].get("description", script))
        return answer["result"].get("value")

    def size(self, width, height, phone=False):
        self.send("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=2 if phone else 1, mobile=phone)

    def prefer(self, scheme):
        self.send("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": scheme}])

    def key(self, key, code=None, number=0, text="", shift=False, ctrl=False):
        """A real key press. Named keys: Tab, Enter, ArrowRight, ..."""
        named = {"Backspace": 8, "Tab": 9, "Enter": 13, "Escape": 27, " ": 32, "End": 35, "Home": 36, "ArrowLeft": 37, "ArrowUp": 38, "ArrowRight": 39, "ArrowDown": 40}
        number = number or named.get(key, 0) or (ord(key.upper()) if ctrl else 0)
        text = "" if ctrl else text or ("\r" if key == "Enter" else key if len(key) == 1 else "")
        common = {"key": key, "code": code or (key if len(key) > 1 else ""), "windowsVirtualKeyCode": number, "modifiers": (8 if shift else 0) + (2 if ctrl else 0)}
        if ctrl and key == "a":
            common["commands"] = ["selectAll"]
        self.send("Input.dispatchKeyEvent", type="keyDown" if text else "rawKeyDown", text=text, **common)
        common.pop("commands", None)
        self.send("Input.dispatchKeyEvent", type="keyUp", **common)

    def type(self, text):
        for letter in text:
            self.key(letter)

    def click(self, selector):
        """A real click in the middle of the first element, scrolled into sight."""
        place = self.run("(() => { const e = document.querySelector(%s); e.scrollIntoView({block: 'center', behavior: 'instant'});"
                         " const r = e.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; })()" % json.dumps(selector))
        self.click_at(*place)

    def click_at(self, x, y):
        for kind in ("mouseMoved", "mousePressed", "mouseReleased"):
            self.send("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="none" if kind == "mouseMoved" else "left",
                      clickCount=0 if kind == "mouseMoved" else 1)

    def drag(self, x0, y0, x1, y1):
        """A real drag with the left button, in a few moves."""
        self.send("Input.dispatchMouseEvent", type="mouseMoved", x=x0, y=y0)
        self.send("Input.dispatchMouseEvent", type="mousePressed", x=x0, y=y0, button="left", clickCount=1)
        for i in range(1, 6):
            self.send("Input.dispatchMouseEvent", type="mouseMoved", x=x0 + (x1 - x0) * i / 5, y=y0 + (y1 - y0) * i / 5, button="left", buttons=1)
        self.send("Input.dispatchMouseEvent", type="mouseReleased", x=x1, y=y1, button="left", clickCount=1)

    def touch_at(self, x, y):
        self.send("Input.dispatchTouchEvent", type="touchStart", touchPoints=[{"x": x, "y": y}])
        self.send("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])

    def picture(self, path, whole=False):
        parameters = {"format": "png", "captureBeyondViewport": whole}
        if whole:
            content = self.send("Page.getLayoutMetrics")["cssContentSize"]
            parameters["clip"] = {"x": 0, "y": 0, "width": content["width"], "height": min(content["height"], 9000), "scale": 1}
        with open(path, "wb") as file:
            file.write(base64.b64decode(self.send("Page.captureScreenshot", **parameters)["data"]))

    def pdf(self, path):
        with open(path, "wb") as file:
            file.write(base64.b64decode(self.send("Page.printToPDF", preferCSSPageSize=True, printBackground=True)["data"]))
