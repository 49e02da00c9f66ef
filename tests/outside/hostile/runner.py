"""Runs the program on one hostile input and judges how it ended.

Ended well: one of the documented exit codes (0 to 6; 70 is a fault of the program), never a signal, within its budgets of
work and memory, and with a message wherever the code is not 0.

Work is judged by a yardstick, never by seconds: the processor time that the same program needed in the same run for a piece
of work that is known, a plain drawing of a fifth of a megabyte. A case may take MOST_YARDS of it for each megabyte of input
(as many for less than one), readings to be judged JUDGED_YARDS. So a machine that is slow, or busy, or a program with sanitizers or counters built in, which
pays for them, gives the same verdict. A case beyond its budget is tried again beside new yardsticks before it counts: of
both the least is taken. What stands still is told from what is slow by the processor time it uses: none at all, asleep, in
STILL looks in a row.
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
OF_A_FILE = DOCUMENTED - {2}  # 2 is for command lines: a test that gets it has asked for what is not there
MOST_YARDS = 36.0
JUDGED_YARDS = 72.0  # of readings: a model is fitted to them, which costs more than reading them
RUNAWAY_YARDS = 20.0 * MOST_YARDS  # what is still running then is ended
MOST_MB = 512
STILL = 60  # looks, a second apart
# What the checks cost that are compiled into a program, by a symbol that it then has: memory.
INSTRUMENTS = {b"__asan_init": 3.0, b"__gcov_": 1.0}
# Control characters but line ends and tabs, and the signs that turn the direction of writing.
UNFIT = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]")


@functools.cache
def memory_of_checks(program):
    """How many times the memory a program may need for the checks that are compiled into it."""
    content = pathlib.Path(program).read_bytes()
    return max((cost for symbol, cost in INSTRUMENTS.items() if symbol in content), default=1.0)


class Outcome:
    def __init__(self, code, seconds, megabytes, out, err, hung):
        self.code, self.seconds, self.megabytes = code, seconds, megabytes
        self.out, self.err, self.hung = out, err, hung


def family(process):
    """The process and those it started."""
    yield process
    for task in pathlib.Path(f"/proc/{process}/task").glob("*/children"):
        for child in task.read_text().split():
            yield from family(child)


def used_and_asleep(process):
    """Processor time of a process and its children in ticks, and whether all of them sleep."""
    ticks, asleep = 0, True
    try:
        for one in family(process):
            fields = pathlib.Path(f"/proc/{one}/stat").read_text().rpartition(")")[2].split()
            ticks += int(fields[11]) + int(fields[12])
            asleep = asleep and fields[0] in "ST"
    except OSError:  # it has just ended
        return ticks, False
    return ticks, asleep


def watched(process, most_ticks, ended):
    """Why the process had to be killed; empty: it ended by itself."""
    still, last = 0, -1
    while not ended.wait(1.0):
        ticks, asleep = used_and_asleep(process.pid)
        still = still + 1 if asleep and ticks == last else 0
        last = ticks
        why = "stands still" if still >= STILL else "runs without end" if ticks > most_ticks else ""
        if why:
            process.kill()
            return why
    return ""


def run_once(arguments, most_seconds, stdin=None, cwd=None):
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        process = subprocess.Popen([str(a) for a in arguments], stdin=stdin or subprocess.DEVNULL, stdout=out, stderr=err, cwd=cwd)
        ended, hung = threading.Event(), []
        watch = threading.Thread(target=lambda: hung.append(watched(process, most_seconds * os.sysconf("SC_CLK_TCK"), ended)))
        watch.start()
        _, status, used = os.wait4(process.pid, 0)
        ended.set()
        watch.join()
        process.returncode = os.waitstatus_to_exitcode(status)
        out.seek(0)
        err.seek(0)
        return Outcome(process.returncode, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024, out.read(), err.read(), hung[0])


resource.setrlimit(resource.RLIMIT_CORE, (0, 0))  # for all that is started: said in the child, it would cost a copy of this process each time
YARDS = {}  # by program: the least processor time for the known piece of work


def known_work():
    lines = "".join(f"0\nLINE\n8\n1\n10\n{5 + i % 280}\n20\n{5 + 5 * (i // 280)}\n11\n{5.5 + i % 280}\n21\n{6 + 5 * (i // 280)}\n" for i in range(4500))
    return ("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\n1\n90\n4\n70\n1\n"
            "10\n0\n20\n0\n10\n300\n20\n0\n10\n300\n20\n90\n10\n0\n20\n90\n" + lines + "0\nENDSEC\n0\nEOF\n").encode()


def measure_yard(program):
    """The processor time of the known piece of work, the least of three runs and of all before."""
    with tempfile.TemporaryDirectory() as folder:
        drawing = pathlib.Path(folder) / "plain.dxf"
        drawing.write_bytes(known_work())
        for _ in range(3):
            ended = run_once([program, "new", drawing, "--out", "-"], 3600)
            if ended.code != 0:
                raise RuntimeError(f"the known piece of work fails: {ended.err.decode(errors='replace')}")
            YARDS[program] = min(YARDS.get(program, ended.seconds), ended.seconds)
    return YARDS[program]


def yard_of(program):
    return YARDS.get(program) or measure_yard(program)


def run(arguments, stdin=None, cwd=None):
    program = str(arguments[0])
    outcome = run_once(arguments, RUNAWAY_YARDS * yard_of(program), stdin, cwd)
    outcome.again = None if stdin else lambda: run_once(arguments, RUNAWAY_YARDS * yard_of(program), None, cwd)
    return outcome


class Judge:
    """Collects what ended badly; `expect` is called once a case."""

    def __init__(self, program):
        self.program = str(program)
        self.larger = memory_of_checks(program)
        self.cases = 0
        self.failures = []
        self.codes = {}
        self.slowest = (0.0, "")
        self.largest = (0.0, "")

    def expect(self, name, outcome, input_bytes, codes=None, words=()):
        self.cases += 1
        self.codes[outcome.code] = self.codes.get(outcome.code, 0) + 1
        most = JUDGED_YARDS if name.startswith("readings") else MOST_YARDS
        yards = self.yards(outcome, input_bytes, most)
        self.slowest = max(self.slowest, (yards, name))
        self.largest = max(self.largest, (outcome.megabytes, name))
        said = (outcome.err + outcome.out).decode("utf-8", "replace")
        told = f"exit code {outcome.code}: {said.strip()[:300]!r}"
        if outcome.hung:
            self.fail(name, f"{outcome.hung}: killed after {outcome.seconds / yard_of(self.program):.0f} yardsticks of processor time")
        elif outcome.code not in (OF_A_FILE if codes is None else codes):
            self.fail(name, f"{told}, wanted one of {sorted(OF_A_FILE if codes is None else codes)}")
        if outcome.code != 0 and not said.strip():
            self.fail(name, f"exit code {outcome.code} without a word")
        if yards > most:
            self.fail(name, f"{yards:.1f} yardsticks of processor time a megabyte for {input_bytes / 1e6:.2f} MB, {most:g} are allowed")
        if outcome.megabytes > MOST_MB * self.larger:
            self.fail(name, f"{outcome.megabytes:.0f} MB for {input_bytes / 1e6:.2f} MB")
        for word in words:
            if word.lower() not in said.lower():
                self.fail(name, f"does not say {word!r}: {said.strip()[:300]!r}")
        if UNFIT.search(said):
            self.fail(name, f"prints what is not fit for a terminal: {UNFIT.search(said)}")

    def yards(self, outcome, input_bytes, most):
        """Processor time in yardsticks for each megabyte of input."""
        megabytes = max(1.0, input_bytes / 1e6)
        yards = outcome.seconds / yard_of(self.program) / megabytes
        if yards <= most or outcome.hung or not outcome.again:
            return yards
        least = min(outcome.seconds, *(outcome.again().seconds for _ in range(2)))
        return least / measure_yard(self.program) / megabytes

    def fail(self, name, why):
        self.failures.append(f"{name}: {why}")

    def report(self, what):
        codes = ", ".join(f"{count} x {code}" for code, count in sorted(self.codes.items()))
        widened = f" (an instrumented program: {self.larger:g} x memory)" if self.larger > 1 else ""
        print(f"{what}{widened}: {self.cases} runs, exit codes {codes}; a yardstick of {yard_of(self.program):.3f} s, most processor time "
              f"{self.slowest[0]:.2f} yardsticks a megabyte ({self.slowest[1]}), "
              f"most memory {self.largest[0]:.0f} MB ({self.largest[1]})")
        for failure in self.failures:
            print("FAILED:", failure)
        return not self.failures
