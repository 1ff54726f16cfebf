#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Changes one place of metrics/ at a time, builds, and says whether the tests notice.

Usage: mutate.py [--count 50] [--seed 1] [--work FOLDER]

The tree is copied first; yours is not touched. Places are drawn by the seed from all lines of code outside the
phantom renderer. A change that does not build is replaced by another. The tests that share a folder with the
changed file run first, then all others; --work keeps the build between calls. Prints a line for each change and
the count; those that no test noticed are named again at the end. Ends with 0 whatever the count.
"""
import argparse
import os
import random
import re
import shutil
import subprocess
import tempfile

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
CHANGES = [
    (r" < ", " <= "), (r" <= ", " < "), (r" > ", " >= "), (r" >= ", " > "), (r" == ", " != "), (r" != ", " == "),
    (r" \+ ", " - "), (r" - ", " + "), (r" \* ", " / "), (r" / ", " * "), (r" \+= ", " -= "), (r" && ", " || "),
    (r" \|\| ", " && "), (r"std::min\(", "std::max("), (r"std::max\(", "std::min("), (r"std::sin\(", "std::cos("),
    (r"\btrue\b", "false"), (r"\bfalse\b", "true"), (r"\bcontinue;", "break;"), (r"\b(\d+\.\d+)\b", r"(\1 * 1.2)"),
    (r" \? ([^:;]+) : ([^:;]+);", r" ? \2 : \1;"),
]
NO_CODE = re.compile(r'^\s*(//|#|using |namespace |static_assert)|fmt::|Error\{|operator|template|"')


def places():
    found = []
    for folder, _, names in os.walk(os.path.join(ROOT, "metrics")):
        for name in names:
            path = os.path.relpath(os.path.join(folder, name), ROOT)
            if not name.endswith(".cpp") or path.startswith("metrics/phantom/"):
                continue
            for number, line in enumerate(open(os.path.join(ROOT, path), encoding="utf-8")):
                code = line.split(" // ")[0]
                if NO_CODE.search(line):
                    continue
                for pattern, to in CHANGES:
                    found += [(path, number, match.start(), pattern, to) for match in re.finditer(pattern, code)]
    return sorted(found)


def changed(line, at, pattern, to):
    return line[:at] + re.sub(pattern, to, line[at:], count=1)


class Copy:
    def __init__(self, folder):
        self.folder = folder
        self.tree = os.path.join(folder, "tree")
        self.build = os.path.join(folder, "build")
        names = subprocess.run(["git", "ls-files"], cwd=ROOT, check=True, capture_output=True, text=True).stdout
        for name in names.splitlines():
            source, to = os.path.join(ROOT, name), os.path.join(self.tree, name)
            if not os.path.exists(source) or (os.path.exists(to) and open(to, "rb").read() == open(source, "rb").read()):
                continue
            os.makedirs(os.path.dirname(to), exist_ok=True)
            shutil.copyfile(source, to)
        subprocess.run(["cmake", "-G", "Ninja", "-S", self.tree, "-B", self.build, "-DAFTERSCOPE_TESTS=ON",
                        "-DAFTERSCOPE_WINDOW=OFF", "-DCMAKE_BUILD_TYPE=Release"],
                       check=True, stdout=subprocess.DEVNULL)

    def builds(self):
        return subprocess.run(["ninja", "-C", self.build, "metrics_tests"], stdout=subprocess.DEVNULL,
                              stderr=subprocess.DEVNULL).returncode == 0

    def passes(self, tests):
        try:
            return subprocess.run([os.path.join(self.build, "tests", "metrics_tests"), "--abort", "-#", *tests],
                                  cwd=self.build, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
                                  timeout=1200).returncode == 0
        except subprocess.TimeoutExpired:
            return False


def tests_beside(path):
    """The tests of the changed file's own folder, by Catch2's names of files as tags."""
    folder = os.path.join(ROOT, "tests", os.path.dirname(path))
    names = sorted(os.listdir(folder)) if os.path.isdir(folder) else []
    return ",".join(f"[#{os.path.splitext(name)[0]}]" for name in names if name.endswith("_tests.cpp"))


def noticed(copy, path):
    beside = tests_beside(path)
    return (beside and not copy.passes([beside])) or not copy.passes([])


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--work", default="")
    call = parser.parse_args()
    folder = call.work or tempfile.mkdtemp(prefix="afterscope-mutation-")
    copy = Copy(folder)
    if not copy.builds() or not copy.passes([]):
        raise SystemExit("The tests do not pass as the tree is.")
    everywhere = places()
    random.Random(call.seed).shuffle(everywhere)
    caught, missed, tried = 0, [], set()
    for path, number, at, pattern, to in everywhere:
        if caught + len(missed) == call.count:
            break
        if (path, number) in tried:
            continue
        tried.add((path, number))
        name = os.path.join(copy.tree, path)
        text = open(name, encoding="utf-8").read()
        lines = text.splitlines(keepends=True)
        before = lines[number]
        lines[number] = changed(before, at, pattern, to)
        with open(name, "w", encoding="utf-8") as out:
            out.write("".join(lines))
        if copy.builds():
            what = f"{path}:{number + 1}: {before.strip()}  ->  {lines[number].strip()}"
            if noticed(copy, path):
                caught += 1
            else:
                missed.append(what)
            print(f"{'caught' if what not in missed else 'MISSED'}  {what}", flush=True)
        with open(name, "w", encoding="utf-8") as out:
            out.write(text)
    print(f"{caught} of {caught + len(missed)} changes were noticed; not noticed:")
    print("\n".join(f"  {what}" for what in missed))
    if not call.work:
        shutil.rmtree(folder)


if __name__ == "__main__":
    main()
