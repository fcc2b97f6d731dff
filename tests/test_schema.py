"""The schema and the reader agree: on one whole plan, on every plan made from it by spoiling one value, key or list,
the reader refuses whatever the schema refuses. What the schema lets through and the reader refuses may only be what a
schema cannot say: names, guides, and lengths between the ranges of the two units.

usage: test_schema.py SOURCE_DIRECTORY SHARED_LIBRARY
"""
import copy
import ctypes
import json
import pathlib
import re
import sys

import jsonschema

source = pathlib.Path(sys.argv[1])
library = ctypes.CDLL(sys.argv[2])
schema = json.loads((source / "schema/plan.schema.json").read_text())
jsonschema.Draft202012Validator.check_schema(schema)
validator = jsonschema.Draft202012Validator(schema)
ROOM = 1 << 16  # bytes, more than an lw_plan or lw_error takes


def reader_takes(plan):
    """None, or what the reader says is wrong."""
    text = json.dumps(plan).encode()
    out, error = ctypes.create_string_buffer(ROOM), ctypes.create_string_buffer(ROOM)
    status = library.lw_plan_read(out, text, ctypes.c_size_t(len(text)), error)
    library.lw_plan_clear(out)
    if status == 0:
        return None
    place = error.raw[12:].split(b"\0")[0]  # after status, line and column
    message = error.raw[12 + 96 :].split(b"\0")[0]
    return f"{place.decode()}: {message.decode()}"


def whole_plan():
    """The one that test_plan.c reads, taken out of its C string."""
    text = (source / "tests/test_plan.c").read_text()
    block = re.search(r"static const char whole\[\] =\s*(.*?);\n", text, re.S)[1]
    return json.loads("".join(json.loads(f'"{line}"') for line in re.findall(r'"((?:[^"\\]|\\.)*)"', block)))


def spoiled(value, path=()):
    """(path, change) for every value below: the change gets the container and key or index."""
    for key in list(value) if isinstance(value, dict) else range(len(value)):
        here = path + (key,)
        for name, put in WRONG:
            yield here, name, lambda container, k, put=put: container.__setitem__(k, copy.deepcopy(put))
        yield here, "gone", lambda container, k: container.pop(k)
        if isinstance(value, dict):
            yield here, "misspelt", lambda container, k: container.__setitem__(k + "x", container.pop(k))
        if isinstance(value[key], (dict, list)):
            yield from spoiled(value[key], here)


WRONG = [("null", None), ("a text", "no such word"), ("a fraction", "1/2"), ("a number", -1000), ("large", 1e9),
         ("true", True), ("an object", {}), ("a list", []), ("a long list", [1] * 300), ("half", 0.5), ("empty", "")]
# What only the reader knows.
READER_ONLY = re.compile(r"there is (no|already)|the text is empty|made only further down|already divided|divided into itself"
                         r"|must hold the word|no earlier step|comes later|from itself|already called|at most all the way"
                         r"|nothing sets its length|found [^,]* (cm|in)\b|found \"1/2\"|its own mirror image|control character")

plan = whole_plan()
faults, compared = [], {(False, False): 0, (False, True): 0, (True, True): 0}
if (said := reader_takes(plan)) or not validator.is_valid(plan):
    faults.append(f"the whole plan is refused: {said}")
for path, name, change in spoiled(plan):
    trial = copy.deepcopy(plan)
    container = trial
    for key in path[:-1]:
        container = container[key]
    change(container, path[-1])
    said, valid = reader_takes(trial), validator.is_valid(trial)
    where = ".".join(map(str, path)) + ", " + name
    if said is None and not valid:
        faults.append(f"{where}: only the schema refuses it")
        continue
    compared[said is None, valid] += 1
    if said and valid and not READER_ONLY.search(said):
        faults.append(f"{where}: only the reader refuses it: {said}")
# The manual's pieces make one plan.
blocks = re.findall(r"```json\n(.*?)```", (source / "docs/plan-file.md").read_text(), re.S)
least, _places, head, worn, sections, step = blocks
manual = json.loads(least) | json.loads(f'{{{head}, {worn}, {sections}, "steps": [{step}]}}')
for name, text in (("the least", json.loads(least)), ("the pieces", manual)):
    if said := reader_takes(text):
        faults.append(f"docs/plan-file.md: {name}: {said}")
for example in sorted(source.glob("examples/*.json")):
    for error in validator.iter_errors(json.loads(example.read_text())):
        faults.append(f"{example.name}: {error.json_path}: {error.message}")
print("\n".join(faults + [f"{compared[True, True]} taken by both, {compared[False, False]} refused by both, "
                          f"{compared[False, True]} by the reader alone, {len(faults)} faults"]))
sys.exit(bool(faults) or compared[False, False] < 500)
