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
    """Whether the check can fail: ties taken out one by one, drawn by a fixed rule. Without one, something that cannot be may come to
    be possible; not each tie is needed for what is asked."""
    ties = [line for line in text.splitlines() if line.startswith("(assert ") and "|claim " not in line]
    impossible = [claim for claim in CLAIM.findall(text) if claim[1] == "unsat"]
    noticed = 0
    for line in random.Random(16).sample(ties, count):
        without = text.replace(line + "\n", "", 1)
        held, sys.stdout = sys.stdout, open(os.devnull, "w", encoding="utf-8")
        try:
            _, _, wrong = compare(without, timeout, 0, impossible)
        finally:
            sys.stdout.close()
            sys.stdout = held
        noticed += bool(wrong)
        print(f"  {len(wrong)} other answers without {line[:110]}", flush=True)
    return noticed


def main():
    parser = argparse.ArgumentParser(prog="tests/z3/check", description=__doc__.split("\n", 1)[0])
    parser.add_argument("content", nargs="?", help="a folder of questions laid over the built-in ones")
    parser.add_argument("--wallfoot", help="the program; without it, it is built first")
    parser.add_argument("--script", help="a script that was written before")
    parser.add_argument("--timeout", type=int, default=20, help="seconds for one claim (20)")
    parser.add_argument("--show", type=int, default=5, help="of how many disagreements the model is shown (5)")
    parser.add_argument("--planted", type=int, metavar="N", help="only whether the check can fail: takes N statements out, in turn")
    args = parser.parse_args()
    start = time.time()
    text = script(args)
    if args.planted:
        noticed = planted(text, args.timeout, args.planted)
        print(f"z3 check: {noticed} of {args.planted} statements that were taken out are noticed")
        sys.exit(0 if noticed else 1)
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
