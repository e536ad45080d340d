"""Validates reports against their schemas, with the jsonschema library.

Usage: validate.py SCHEMA FILE... ; prints how many are valid, fails at the first that is not.
"""

import json
import sys

import jsonschema


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        schema = json.load(file)
    jsonschema.Draft7Validator.check_schema(schema)
    validator = jsonschema.Draft7Validator(schema)
    for path in sys.argv[2:]:
        with open(path, encoding="utf-8") as file:
            document = json.load(file)
        errors = [f"{error.json_path}: {error.message}" for error in validator.iter_errors(document)]
        if errors:
            sys.exit(f"{path}: " + "; ".join(errors[:3]))
    print(f"{len(sys.argv) - 2} valid")


if __name__ == "__main__":
    main()
