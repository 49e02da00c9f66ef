"""The page of `lastwright open` in a browser, worked by real clicks and keys. What is done is counted."""
import json
import time


class Page:
    def __init__(self, browser, opened, check, pictures=None):
        self.browser, self.opened, self.check, self.pictures = browser, opened, check, pictures
        self.actions = 0  # clicks and words written, as a user would count them
        self.tries = 1200  # a twentieth of a second each: what hangs for a minute hangs, and what follows it is not waited for as long
        browser.size(1280, 800)
        browser.open(opened.address)
        self.until("document.documentElement.dataset.ready === 'true' && document.querySelectorAll('.bead').length > 1", "the page is not ready")

    def until(self, script, text):
        for _ in range(self.tries):
            if self.browser.run(f"Boolean({script})"):
                return True
            time.sleep(0.05)
        self.tries = 60
        self.check(False, text if isinstance(text, str) else text())  # what is there by now
        return False

    def text(self, selector):
        return self.browser.run(f"document.querySelector({json.dumps(selector)})?.textContent ?? ''")

    def steady(self, found, why, unless="false"):
        """Where to press what this script finds, once it lies still and nothing lies over it: words that arrive may move it.

        Not looked for any longer once `unless` holds.
        """
        place = f"""new Promise(done => {{
          const frames = (n, then) => n ? requestAnimationFrame(() => frames(n - 1, then)) : then();
          const at = () => {{ const e = {found}; if (!e) return null; e.scrollIntoView({{block: 'center', behavior: 'instant'}}); const r = e.getBoundingClientRect();
            const p = [r.x + Math.min(r.width / 2, 60), r.y + r.height / 2]; return e.contains(document.elementFromPoint(...p)) ? p : null; }};
          const first = at(); frames(3, () => {{ const next = at(); done(first && next && first[0] === next[0] && first[1] === next[1] ? next : null); }}); }})"""
        for _ in range(self.tries):
            if at := self.browser.run(place):
                return at
            if self.browser.run(f"Boolean({unless})"):
                break
        raise RuntimeError(f"{why}: is not there, or does not lie still")

    def press(self, text, within="body", unless="false"):
        """A real click on a button by its words."""
        self.actions += 1
        words = json.dumps(text)
        found = (f"(all => all.find(e => e.textContent.trim() === {words}) ?? all.find(e => e.textContent.includes({words})))"
                 f"([...document.querySelectorAll({json.dumps(within)} + ' button')])")
        for _ in range(self.tries):
            at = self.steady(found, f"the button {text}", unless)
            self.browser.run(f"(() => {{ window.aimed = {found}; window.hit = null; document.addEventListener('click', e => {{ window.hit = e.target; }}, {{capture: true, once: true}}); }})()")
            self.browser.click_at(*at)
            if self.browser.run("Boolean(window.aimed && window.aimed.contains(window.hit))"):
                return
        raise RuntimeError(f"the button {text}: moves away each time")

    def word(self, name, text):
        """A word of a sentence written anew, by real keys."""
        self.actions += 1
        self.browser.click_at(*self.steady(f"document.querySelector({json.dumps(f'.word[aria-label={json.dumps(name)}]')})", f"the word {name}"))
        self.browser.key("a", ctrl=True)
        self.browser.type(text)
        self.browser.key("Enter")

    def write(self, selector, text):
        """Into a field, by a real click and real keys; again where the field moved away from the click."""
        field = f"document.querySelector({json.dumps(selector)})"
        for _ in range(self.tries):
            self.browser.click(selector)
            if not self.browser.run(f"document.activeElement === {field}"):
                time.sleep(0.05)
                continue
            self.browser.key("a", ctrl=True)
            self.browser.type(text)
            if self.browser.run(f"{field}.value") == text:
                return
        raise RuntimeError(f"{selector}: {text} cannot be written there")

    def say(self, words):
        """Said by its verb, from wherever the focus is."""
        self.actions += 1
        self.write("#verb", words)
        self.browser.key("Enter")

    def answer(self, **fields):
        self.actions += 1 + len(fields)
        for name, value in fields.items():
            chosen = self.browser.run(f"document.querySelector('#question [name={name}]').tagName") == "SELECT"
            if chosen:
                self.browser.run(f"(() => {{ const e = document.querySelector('#question [name={name}]'); e.focus(); e.value = {json.dumps(value)}; e.dispatchEvent(new Event('change')); }})()")
            else:
                self.write(f"#question [name={name}]", value)
        self.browser.key("Enter")

    def steps(self):
        return self.browser.run("document.querySelectorAll('#steplist li:not(.ahead)').length - 1")

    def stepped(self, count, text):
        return self.until(f"document.querySelectorAll('#steplist li:not(.ahead)').length - 1 === {count} && !document.querySelector('#stage').hasAttribute('aria-busy')", lambda: f"{text}: {self.steps()} steps instead of {count}; {self.text('#told')} {self.text('#notice')} {self.text('#question')}")

    def picture(self, name, whole=False):
        if self.pictures:
            self.browser.picture(str(self.pictures / (name + ".png")), whole)
