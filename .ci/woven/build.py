"""Builds a copy into which mutants are woven, and says which of them do not build.

Usage: python build.py COPY LEFT_OUT TESTS ARGUMENT... . Builds the tests that the arguments of `cargo test` name. Ends with
0 when all is built, the paths of the tests by name in TESTS; with 3 when some mutants do not build: LEFT_OUT then has them
as well, by number, each with the compiler's reason, and they are to be left out. Whatever else goes wrong ends with 1.
"""

import json
import re
import subprocess
import sys
from pathlib import Path


def numbers_at(copy, span):
    """The mutants on the lines of an error, which may lie in a macro that they call."""
    while span["expansion"] and not span["file_name"].startswith("src/"):
        span = span["expansion"]["span"]
    if not span["file_name"].startswith("src/"):
        return set()
    lines = (copy / span["file_name"]).read_text().split("\n")[span["line_start"] - 1 : span["line_end"]]
    return {number for line in lines for number in re.findall(r"/\*m(\d+)\*/", line)}


def main():
    copy, left_out, tests = (Path(argument) for argument in sys.argv[1:4])
    command = ["cargo", "test", "--no-run", "--message-format=json", *sys.argv[4:]]
    built = subprocess.run(command, cwd=copy, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    messages = [json.loads(line) for line in built.stdout.splitlines() if line.startswith("{")]
    gone = json.loads(left_out.read_text())
    unplaced, new = [], {}
    for message in messages:
        if message["reason"] != "compiler-message" or message["message"]["level"] != "error":
            continue
        error = message["message"]
        numbers = set()
        for span in error["spans"]:
            if span["is_primary"]:
                numbers |= numbers_at(copy, span)
        if numbers:
            new |= {number: error["message"] for number in numbers}
        elif error["spans"]:
            unplaced.append(error["rendered"])
    left_out.write_text(json.dumps(gone | new))
    if new:
        print(f"{len(new)} mutants do not build")
        sys.exit(3)
    if built.returncode:
        sys.exit("\n".join(unplaced) or built.stderr)
    paths = {}
    for message in messages:
        if message.get("executable") and message["profile"]["test"]:
            target = message["target"]
            paths["lib" if "lib" in target["kind"] else target["name"]] = message["executable"]
    tests.write_text(json.dumps(paths))


if __name__ == "__main__":
    main()
