"""Accepts and refuses the same documents as the general library jsonschema (draft 2020-12).

usage: check_schema.py PROBE PROJECT SCHEMA [NUMBER]
Documents: every JSON file of the project that the schema is for, and mutations of each: values replaced, keys renamed,
removed and added, list items removed and doubled, at every place. The place of the first fault must be one the library
also finds fault with, or lie below one (it reports a failed choice at its top).
"""
import copy
import json
import pathlib
import random
import subprocess
import sys

import jsonschema

MOST = 140  # documents, unless said otherwise
VALUES = [None, True, 0, -1, 1, 2.5, 1.0, 1e9, "", "x", "x" * 81, "é" * 80, [], ["a"], [1, 2], [1, 1], {}, {"a": 1}]


def places(value, at=()):
    yield at
    if isinstance(value, dict):
        for key, child in value.items():
            yield from places(child, at + (key,))
    elif isinstance(value, list):
        for index, child in enumerate(value):
            yield from places(child, at + (index,))


def shorter(value):
    """The same with three items at most in each list: faults are planted in these, for the whole takes the library long."""
    if isinstance(value, dict):
        return {key: shorter(child) for key, child in value.items()}
    return [shorter(child) for child in value[:3]] if isinstance(value, list) else value


def found(value, at):
    for step in at:
        value = value[step]
    return value


def mutant_of(document, at, chance):
    """One fault planted at a place: another value, a key lost or misspelt, an item lost or doubled."""
    mutant = copy.deepcopy(document)
    here = found(mutant, at)
    if isinstance(here, dict) and here and chance.random() < 0.6:
        key = chance.choice(list(here))
        child = here.pop(key)
        if chance.random() < 0.5:
            here[key + "x"] = child
    elif isinstance(here, list) and here and chance.random() < 0.6:
        if chance.random() < 0.5:
            here.append(copy.deepcopy(here[0]))
        else:
            here.pop()
    elif at:
        found(mutant, at[:-1])[at[-1]] = copy.deepcopy(chance.choice(VALUES))
    return mutant


def pointers(errors):
    for error in errors:
        yield "".join("/" + str(step).replace("~", "~0").replace("/", "~1") for step in error.absolute_path)


def main():
    probe, project, schema_name = sys.argv[1], pathlib.Path(sys.argv[2]), sys.argv[3]
    most = int(sys.argv[4]) if len(sys.argv) > 4 else MOST
    schema = json.loads((project / schema_name).read_text())
    jsonschema.Draft202012Validator.check_schema(schema)
    library = jsonschema.Draft202012Validator(schema)
    if schema_name.startswith("grading"):
        files = sorted(project.glob("demo-patterns/*/style.json"))
    else:
        files = [f for f in sorted(project.glob("reference-tables/*.json")) if f.name != "schema.json"]
    good = [json.loads(f.read_text()) for f in files]
    assert good, "no documents"
    chance = random.Random(20)
    documents = list(good)
    for document in map(shorter, good):
        all_places = list(places(document))
        documents += [mutant_of(document, chance.choice(all_places), chance) for _ in range(most // len(good))]
    lines = "\n".join(json.dumps(d, ensure_ascii=False) for d in documents) + "\n"
    answers = subprocess.run([probe, str(project / schema_name)], input=lines.encode(), stdout=subprocess.PIPE, check=True)
    answers = answers.stdout.decode().splitlines()
    assert len(answers) == len(documents), (len(answers), len(documents))
    refused = wrong = 0
    for document, answer in zip(documents, answers):
        errors = list(library.iter_errors(document))
        refused += bool(errors)
        if bool(errors) == (answer == "ok"):
            wrong += 1
            print("DIFFERS:", answer, [(list(e.absolute_path), e.message[:100]) for e in errors][:2])
        elif errors:
            at = answer.removeprefix("fault at ")
            if not any(at == p or at.startswith(p + "/") or p == "" for p in pointers(errors)):
                wrong += 1
                print("OTHER PLACE:", at, sorted(pointers(errors))[:3])
    print(f"{len(documents)} documents, {refused} refused by both, {wrong} judged differently")
    sys.exit(1 if wrong or refused < len(documents) // 10 else 0)


main()
