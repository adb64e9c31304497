"""Puts all that `wallfoot prove` asks of its own solver to z3, and compares the answers.

`wallfoot prove --as smt2` writes the content a second time, as SMT-LIB 2, by an encoding that shares nothing with the first one
(src/prove/smt). Each claim in it stands behind a comment with the answer of the prover's own solver.
"""

import argparse
import os
import random
import re
import subprocess
import sys
import time

import z3

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
CLAIM = re.compile(r"^; (claim \d+) (sat|unsat) (.*)$", re.M)
# names of parts that say nothing to a reader
DULL = re.compile(r"^(part \d+|claim \d+|.*: (counts|known))$")
# a far end of a number, in steps of 1/320 mm
FAR = 2**61


def script(args):
    """The script to check, and where it is from."""
    if args.script:
        with open(args.script, encoding="utf-8") as file:
            return file.read()
    wallfoot = args.wallfoot
    if not wallfoot:
        subprocess.run(["cargo", "build", "--quiet", "--bin", "wallfoot"], cwd=ROOT, check=True)
        wallfoot = os.path.join(ROOT, "target", "debug", "wallfoot")
    command = [wallfoot, "prove", "--as", "smt2"] + ([args.content] if args.content else [])
    return subprocess.run(command, check=True, capture_output=True, text=True, cwd=ROOT).stdout


def in_words(model, limit=40):
    """What a model says: answers that count, and facts that are known."""
    lines = []
    for decl in sorted(model.decls(), key=lambda d: d.name()):
        name, value = decl.name(), str(model[decl])
        if DULL.match(name) or value == "False" or value.endswith(("= not sure", "= unknown", "= absent")):
            continue
        if z3.is_int_value(model[decl]):
            steps = model[decl].as_long()
            value = "any" if abs(steps) > FAR else f"{steps} ({steps / 8128:.2f} in if a length)"
        lines.append(f"      {name}: {value}")
    return "\n".join(lines[:limit] + ([f"      and {len(lines) - limit} more"] if len(lines) > limit else []))


def ask(solver, name):
    answer = solver.check(z3.Bool(name))
    return str(answer)


def compare(text, timeout, show, claims=None):
    """All claims put to z3: how many agree, and what does not."""
    claims = claims or CLAIM.findall(text)
    if not claims:
        sys.exit("z3 check: the script asks nothing")
    solver = z3.Solver()
    solver.set("timeout", timeout * 1000)
    solver.from_string(text)
    agreed, open_, wrong = {"sat": 0, "unsat": 0}, [], []
    for number, (name, expected, words) in enumerate(claims, 1):
        got = ask(solver, name)
        if got == expected:
            agreed[got] += 1
        elif got == "unknown":
            open_.append(words)
        else:
            wrong.append(words)
            print(f"  {words}: expected {expected}, z3 says {got}")
            if got == "sat" and len(wrong) <= show:
                print(in_words(solver.model()))
        if sys.stderr.isatty():
            print(f"\r{number} of {len(claims)}", end="", file=sys.stderr)
    if sys.stderr.isatty():
        print("\r", end="", file=sys.stderr)
    return agreed, open_, wrong


def planted(text, timeout, count):
    """Whether the check can fail: so many statements on facts are taken out, and so many parts of rules are turned round, one by one,
    drawn by a fixed rule. Not each statement is needed for what is asked; each part of a rule is. To be quick, it asks only for what
    cannot be, and for what names the rule."""
    lines = text.splitlines()
    ties = [line for line in lines if line.startswith("(assert ") and "|claim " not in line]
    parts = [line for line in lines if re.match(r"\(define-fun \|(finding|limit) .*: (holds|broken|fails|applies)\|", line)]
    draw = random.Random(16)
    faults = [(line, "") for line in draw.sample(ties, count)]
    for line in draw.sample(parts, count):
        head, term = re.match(r"(\(define-fun \|[^|]*\| \(\) Bool )(.*)\)$", line).groups()
        faults.append((line, f"{head}(not {term}))"))
    noticed = {"statements": 0, "parts of rules": 0}
    for line, other in faults:
        about = re.match(r"\(define-fun \|\w+ ([^:|]*)", line)
        about = f"`{about.group(1)}`" if about else "no such rule"
        claims = [claim for claim in CLAIM.findall(text) if claim[1] == "unsat" or about in claim[2]]
        held, sys.stdout = sys.stdout, open(os.devnull, "w", encoding="utf-8")
        try:
            _, _, wrong = compare(text.replace(line, other, 1), timeout, 0, claims)
        finally:
            sys.stdout.close()
            sys.stdout = held
        noticed["parts of rules" if other else "statements"] += bool(wrong)
        print(f"  {len(wrong)} other answers {'with, turned round,' if other else 'without'} {line[:100]}", flush=True)
    return noticed


def main():
    parser = argparse.ArgumentParser(prog="tests/z3/check", description=__doc__.split("\n", 1)[0])
    parser.add_argument("content", nargs="?", help="a folder of questions laid over the built-in ones")
    parser.add_argument("--wallfoot", help="the program; without it, it is built first")
    parser.add_argument("--script", help="a script that was written before")
    parser.add_argument("--timeout", type=int, default=20, help="seconds for one claim (20)")
    parser.add_argument("--show", type=int, default=5, help="of how many disagreements the model is shown (5)")
    parser.add_argument("--planted", type=int, metavar="N", help="only whether the check can fail: N statements are taken out, N turned round")
    args = parser.parse_args()
    start = time.time()
    text = script(args)
    if args.planted:
        noticed = planted(text, args.timeout, args.planted)
        for what, number in noticed.items():
            print(f"z3 check: {number} of {args.planted} {what} that were changed are noticed")
        sys.exit(0 if all(noticed.values()) else 1)
    agreed, open_, wrong = compare(text, args.timeout, args.show)
    count = sum(agreed.values())
    print(
        f"z3 {z3.get_version_string()}: the same answer to {count} of {count + len(open_) + len(wrong)} claims"
        f" ({agreed['sat']} can be, {agreed['unsat']} cannot), {len(wrong)} other, {len(open_)} not settled,"
        f" {time.time() - start:.0f} s"
    )
    for words in open_:
        print(f"  not settled in {args.timeout} s: {words}")
    sys.exit(1 if wrong or open_ else 0)


main()
