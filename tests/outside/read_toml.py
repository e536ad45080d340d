"""Reads two TOML files with Python's tomllib and says what it saw, as TOML: each value with its path.

    python3 read_toml.py FIRST SECOND
"""

import datetime
import json
import sys
import tomllib


def flatten(path, value, lines):
    def below(key):
        return f"{path}.{key}" if path else str(key)

    if isinstance(value, dict):
        for key in sorted(value):
            flatten(below(key), value[key], lines)
    elif isinstance(value, list):
        for index, item in enumerate(value):
            flatten(below(index), item, lines)
    elif isinstance(value, bool):
        lines.append(f"{path} = {str(value).lower()}")
    elif isinstance(value, datetime.datetime):
        lines.append(f"{path} = {value.isoformat()}")
    else:
        lines.append(f"{path} = {value}")


for name, file in zip(["first", "second"], sys.argv[1:3]):
    with open(file, "rb") as opened:
        lines = []
        flatten("", tomllib.load(opened), lines)
    print(f"{name} = [")
    for line in lines:
        # a JSON string of printable characters is a TOML basic string, too
        print(f"  {json.dumps(line, ensure_ascii=False)},")
    print("]")
