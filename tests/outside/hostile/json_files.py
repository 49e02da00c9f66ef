"""Hostile JSON, put into the places of the demo's style: name -> (bytes, exit codes that are right, words to be said)."""
import copy
import json

BAD_VALUES = [None, True, -1, 0, 1e300, -1e300, "", "x", "1/0", "99999999999999999999/3", "1/3/4", "NaN mm", "5,5 mm", "1e999 mm", [], {}, [[]], {"a": {}},
              "../../x", "<b>", "=1+1", "\u202e", "\u0000", "n" * 100_000]


def paths(value, here=()):
    """Every place of a document, as a tuple of keys."""
    yield here
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from paths(inner, (*here, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from paths(inner, (*here, index))


def put(document, path, value):
    document = copy.deepcopy(document)
    at = document
    for key in path[:-1]:
        at = at[key]
    at[path[-1]] = value
    return document


def syntax_cases(good):
    """Text that is no JSON or breaks a budget, whatever the file is for."""
    yield "nan", (good.replace(b": 1,", b": NaN,", 1), {3}, [])
    yield "infinity", (good.replace(b": 1,", b": -Infinity,", 1), {3}, [])
    yield "a number beyond reach", (good.replace(b": 1,", b": 1e999,", 1), {3}, [])
    yield "a decimal comma", (good.replace(b": 1,", b": 1,5,", 1), {3}, [])
    yield "100,000 brackets", (b"[" * 100_000, {3}, [])
    yield "100,000 braces", (b'{"a":' * 100_000, {3}, [])
    yield "deep and closed", (b"[" * 50_000 + b"]" * 50_000, {3}, [])
    yield "one text of 15 MB", (b'{"a": "' + b"x" * 15_000_000 + b'"}', {3}, [])
    yield "a key of 15 MB", (b'{"' + b"x" * 15_000_000 + b'": 1}', {3}, [])
    yield "20 MB of blanks", (b" " * 20_000_000, {3}, [])
    yield "a list of 5,000,000 numbers", (b"[" + b"1," * 4_999_999 + b"1]", {3}, [])
    yield "100,000 keys", (b"{" + b",".join(b'"%d":{}' % i for i in range(100_000)) + b"}", {3}, [])
    yield "a key twice", (good.replace(b"{", b'{"name": "a", "name": "b",', 1), {3}, ["twice"])
    yield "not UTF-8", (good.replace(b'"', b'"\xff\xfe', 1), {3}, [])
    yield "half of a pair", (good.replace(b'"', b'"\\ud800', 1), {3}, [])
    yield "a comment", (b"// comment\n" + good, {3}, [])
    yield "something after it", (good + b"{}", {3}, [])
    yield "a zero byte", (good.replace(b" ", b"\0", 1), {3}, [])
    yield "an escape sequence", (good.replace(b'"', b'"\x1b[2J', 1), {3}, [])
    yield "a list", (b"[]", {3}, [])
    yield "a word", (b"null", {3}, [])
    for cut in sorted({1, 2, 10, *range(20, len(good) - 1, max(1, len(good) // 40))}):
        if good[cut:].strip():
            yield f"cut off after {cut} bytes", (good[:cut], {3}, [])


def kind_cases(good):
    """Of these the ones that a further kind of file is given: the large ones and most of the cuts go into styles, by the same parser."""
    cases = [(name, case) for name, case in syntax_cases(good) if len(case[0]) < 1_000_000]
    cuts = [case for case in cases if case[0].startswith("cut off")]
    return [case for case in cases if case not in cuts or case in cuts[::6]]


def value_cases(document, choose):
    """Wrong values, in the chosen places."""
    places = [p for p in paths(document) if p and choose(p)]
    for i, place in enumerate(places):
        # Each place gets two of the values, so that together every value stands in many places.
        for k in (2 * i, 2 * i + 1):
            value = BAD_VALUES[k % len(BAD_VALUES)]
            yield f"{'/'.join(map(str, place))} = {str(value)[:30]!r}", (json.dumps(put(document, place, value)).encode(), None, [])
