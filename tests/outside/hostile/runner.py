"""Runs the program on one hostile input and judges how it ended.

Ended well: one of the documented exit codes (0 to 6; 70 is a fault of the program), never a signal, at most 2 s of processor
time per megabyte of input (2 s for less than one) and 512 MB, and with a message wherever the code is not 0. Processor time,
because the machine may be busy with other things; a hang is caught by the clock. A program with sanitizers or counters built
in pays for them: its budgets of time and memory, and nothing else, are widened by the factors below.
"""
import functools
import os
import pathlib
import re
import resource
import subprocess
import tempfile
import threading

DOCUMENTED = {0, 1, 2, 3, 4, 5, 6}
SECONDS_PER_MB = 2.0
MOST_MB = 512
HANG_SECONDS = 120
# What the checks cost that are compiled into a program, by a symbol that it then has: processor time and memory.
INSTRUMENTS = {b"__asan_init": (8.0, 3.0), b"__gcov_": (8.0, 1.0)}
# Control characters but line ends and tabs, and the signs that turn the direction of writing.
UNFIT = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]")


@functools.cache
def cost_of_checks(program):
    """How many times the time and the memory a program may need for the checks that are compiled into it."""
    content = pathlib.Path(program).read_bytes()
    return max((cost for symbol, cost in INSTRUMENTS.items() if symbol in content), default=(1.0, 1.0))


class Outcome:
    def __init__(self, code, seconds, megabytes, out, err, hung):
        self.code, self.seconds, self.megabytes = code, seconds, megabytes
        self.out, self.err, self.hung = out, err, hung


def run(arguments, stdin=None, cwd=None):
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        process = subprocess.Popen([str(a) for a in arguments], stdin=stdin or subprocess.DEVNULL, stdout=out, stderr=err, cwd=cwd,
                                   preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CORE, (0, 0)))
        hung = threading.Event()

        def give_up():
            hung.set()
            process.kill()

        watch = threading.Timer(HANG_SECONDS * cost_of_checks(arguments[0])[0], give_up)
        watch.start()
        _, status, used = os.wait4(process.pid, 0)
        watch.cancel()
        process.returncode = os.waitstatus_to_exitcode(status)
        out.seek(0)
        err.seek(0)
        return Outcome(process.returncode, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024, out.read(), err.read(), hung.is_set())


class Judge:
    """Collects what ended badly; `expect` is called once a case."""

    def __init__(self, program):
        self.slower, self.larger = cost_of_checks(program)
        self.cases = 0
        self.failures = []
        self.codes = {}
        self.slowest = (0.0, "")
        self.largest = (0.0, "")

    def expect(self, name, outcome, input_bytes, codes=None, words=()):
        self.cases += 1
        self.codes[outcome.code] = self.codes.get(outcome.code, 0) + 1
        self.slowest = max(self.slowest, (outcome.seconds, name))
        self.largest = max(self.largest, (outcome.megabytes, name))
        said = (outcome.err + outcome.out).decode("utf-8", "replace")
        told = f"exit code {outcome.code}: {said.strip()[:300]!r}"
        if outcome.hung:
            self.fail(name, f"still running after {HANG_SECONDS * self.slower:g} s")
        elif outcome.code not in DOCUMENTED:
            self.fail(name, told)
        elif codes is not None and outcome.code not in codes:
            self.fail(name, f"{told}, wanted one of {sorted(codes)}")
        if outcome.code != 0 and not said.strip():
            self.fail(name, f"exit code {outcome.code} without a word")
        allowed = SECONDS_PER_MB * max(1.0, input_bytes / 1e6) * self.slower
        if outcome.seconds > allowed:
            self.fail(name, f"{outcome.seconds:.2f} s for {input_bytes / 1e6:.2f} MB")
        if outcome.megabytes > MOST_MB * self.larger:
            self.fail(name, f"{outcome.megabytes:.0f} MB for {input_bytes / 1e6:.2f} MB")
        for word in words:
            if word.lower() not in said.lower():
                self.fail(name, f"does not say {word!r}: {said.strip()[:300]!r}")
        if UNFIT.search(said):
            self.fail(name, f"prints what is not fit for a terminal: {UNFIT.search(said)}")

    def fail(self, name, why):
        self.failures.append(f"{name}: {why}")

    def report(self, what):
        codes = ", ".join(f"{count} x {code}" for code, count in sorted(self.codes.items()))
        widened = f" (budgets of an instrumented program: {self.slower:g} x time, {self.larger:g} x memory)" if self.slower > 1 else ""
        print(f"{what}{widened}: {self.cases} runs, exit codes {codes}; most processor time {self.slowest[0]:.2f} s ({self.slowest[1]}), "
              f"most memory {self.largest[0]:.0f} MB ({self.largest[1]})")
        for failure in self.failures:
            print("FAILED:", failure)
        return not self.failures
