"""Tries mutants that are woven into one build: runs, for each, the tests that come by it, until one fails.

Usage: python try_them.py COPY MUTANTS LEFT_OUT TESTS RESULTS K/N ROOM... . Which tests come by which mutants, and what each
test costs, is found first by running every test alone. A test has failed as well when it takes ten times the processor
time that it should, ten minutes, or 6 GB. RESULTS is filled with what caught each mutant; what is in it already is not tried again.
"""

import json
import os
import resource
import subprocess
import sys
from collections import defaultdict
from pathlib import Path

CHEAP_S = 0.3
LEAST_S = 4
LONGEST_S = 600
MOST_BYTES = 6_000_000_000


def run(command, copy, told):
    surroundings = os.environ | told | {"CARGO_MANIFEST_DIR": str(copy), "RUST_BACKTRACE": "0"}
    return subprocess.run(
        command, cwd=copy, env=surroundings, capture_output=True, text=True, errors="replace", timeout=LONGEST_S
    )


def spent_s():
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def passed(copy, paths):
    """By number: the tests that come by the mutant, cheapest first, as (seconds, program, name)."""
    record = copy / "passed"
    coming_by = defaultdict(list)
    for program, path in paths.items():
        listed = run([path, "--list", "--format", "terse"], copy, {}).stdout.splitlines()
        for test in [line.removesuffix(": test") for line in listed if line.endswith(": test")]:
            alone = [path, "--exact", test, "--test-threads=1"]
            record.unlink(missing_ok=True)
            begun_s = spent_s()
            sound = run(alone, copy, {}).returncode == 0
            cost_s = spent_s() - begun_s
            run(alone, copy, {"MUTANTS_PASSED": str(record)})
            if not sound:
                print(f"{program}: {test} fails without a mutant, and is left out")
                continue
            for number in record.read_text().split() if record.exists() else []:
                coming_by[int(number)].append((cost_s, program, test))
    return {number: sorted(tests) for number, tests in coming_by.items()}


def caught_by(copy, paths, number, tests):
    """The program that notices the mutant. Cheap tests of one program are run together."""
    together = defaultdict(list)
    groups = []
    for cost_s, program, test in tests:
        if cost_s < CHEAP_S:
            together[program].append((cost_s, test))
        else:
            groups.append((cost_s, program, [test]))
    cheap = [(sum(s for s, _ in its), program, [test for _, test in its]) for program, its in together.items()]
    for cost_s, program, names in sorted(cheap) + sorted(groups):
        bounds = ["prlimit", f"--cpu={int(max(LEAST_S, 10 * cost_s))}", f"--as={MOST_BYTES}"]
        command = [*bounds, paths[program], "--exact", "--test-threads=1", *names]
        try:
            if run(command, copy, {"MUTANT": str(number)}).returncode:
                return program
        except subprocess.TimeoutExpired:
            return program
    return None


def main():
    copy, listed, left_out, tests, results = (Path(argument) for argument in sys.argv[1:6])
    share, of = (int(part) for part in sys.argv[6].split("/"))
    rooms = sys.argv[7:]
    mutants = json.loads(listed.read_text())
    gone = json.loads(left_out.read_text())
    paths = json.loads(tests.read_text())
    tried = json.loads(results.read_text()) if results.exists() else {}
    coming_by = passed(copy, paths)
    for room in rooms:
        its = [number for number, mutant in enumerate(mutants) if mutant["file"].startswith(f"src/{room}/")]
        its = [number for number in its[share::of] if str(number) not in gone]
        for number in its:
            if tried.get(str(number)) is None:
                tried[str(number)] = caught_by(copy, paths, number, coming_by.get(number, []))
                results.write_text(json.dumps(tried))
        missed = [number for number in its if tried[str(number)] is None]
        for number in missed:
            words = "missed" if number in coming_by else "no test comes by"
            print(f"{words}: {mutants[number]['name']}")
        print(f"{room}: {len(its) - len(missed)} of {len(its)} caught")


if __name__ == "__main__":
    main()
