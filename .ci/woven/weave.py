"""Weaves mutants into a copy of the source, each behind a switch, so that one build holds them all.

Usage: python weave.py MUTANTS SOURCE COPY LEFT_OUT, with tree-sitter 0.26.1 and tree-sitter-rust 0.24.2. MUTANTS is what
`cargo mutants --list --json` prints; its places there are the mutants' numbers. LEFT_OUT holds, by number, those that do
not build (see build.py). The mutants stand in COPY as `crate::switch::on(NUMBER)`, with `/*mNUMBER*/` on their line.
"""

import json
import re
import sys
from collections import defaultdict
from pathlib import Path

import tree_sitter
import tree_sitter_rust

COMPARING = {"==", "!=", "<", ">", "<=", ">="}


def on(number):
    return f"crate::switch::on({number})"


def mark(number):
    return f"/*m{number}*/"


def chosen(mutants, own):
    """One branch for each (number, text), and one for what is written."""
    branches = [f"if {on(number)} {{ {text} }} {mark(number)}" for number, text in mutants]
    return "\n" + "\nelse ".join(branches) + f"\nelse {{ {own} }}"


class Woven:
    """A file of the source with its mutants."""

    def __init__(self, text, mutants):
        self.source = text.encode()
        self.woven = set()
        # By genre, by the byte at which what is changed begins: numbers and replacements.
        self.at = defaultdict(lambda: defaultdict(list))
        for number, mutant in mutants:
            begins = self.byte_of(text, mutant["span"]["start"])
            self.at[mutant["genre"]][begins].append((number, mutant["replacement"]))
        parser = tree_sitter.Parser(tree_sitter.Language(tree_sitter_rust.language()))
        self.text = self.render(parser.parse(self.source).root_node)

    @staticmethod
    def byte_of(text, place):
        lines = text.split("\n")
        before = sum(len(line.encode()) + 1 for line in lines[: place["line"] - 1])
        return before + len(lines[place["line"] - 1][: place["column"] - 1].encode())

    def between(self, begins, ends):
        return self.source[begins:ends].decode()

    def own(self, node):
        return self.between(node.start_byte, node.end_byte)

    def found(self, genre, node):
        mutants = self.at[genre].get(node.start_byte, [])
        self.woven.update(number for number, _ in mutants)
        return mutants

    def children(self, node, begins, ends):
        """What stands between two bytes of a node, its children woven."""
        text = ""
        for child in node.children:
            if child.start_byte >= begins and child.end_byte <= ends:
                text += self.between(begins, child.start_byte) + self.render(child)
                begins = child.end_byte
        return text + self.between(begins, ends)

    def whole(self, node):
        return self.children(node, node.start_byte, node.end_byte)

    def render(self, node):
        weave = getattr(self, node.type, None)
        return (weave and weave(node)) or self.whole(node)

    def binary_expression(self, node):
        operator = node.child_by_field_name("operator")
        mutants = self.found("BinaryOperator", operator)
        if not mutants:
            return None
        left, right = (self.render(node.child_by_field_name(side)) for side in ("left", "right"))
        written = self.own(operator)
        if written in ("&&", "||"):
            number = mutants[0][0]
            goes_on = "!=" if written == "&&" else "=="
            return f"({{ let l: bool = {left};\n if l {goes_on} {on(number)} {mark(number)}\n {{ {right} }} else {{ l }} }})"
        both = f"(&({left}), &({right}))" if written in COMPARING else f"({left}, {right})"
        branches = chosen([(number, f"l {other} r") for number, other in mutants], f"l {written} r")
        return f"(match {both} {{ (l, r) => {{ {branches} }} }})"

    def compound_assignment_expr(self, node):
        operator = node.child_by_field_name("operator")
        mutants = self.found("BinaryOperator", operator)
        if not mutants:
            return None
        left, right = (self.render(node.child_by_field_name(side)) for side in ("left", "right"))
        branches = chosen([(number, f"{left} {other} r;") for number, other in mutants], f"{left} {self.own(operator)} r;")
        return f"match {right} {{ r => {{ {branches} }} }}"

    def unary_expression(self, node):
        mutants = self.found("UnaryOperator", node)
        if not mutants:
            return None
        branches = chosen([(number, "v") for number, _ in mutants], self.own(node.children[0]) + "v")
        return f"(match {self.render(node.children[-1])} {{ v => {{ {branches} }} }})"

    def has_catch_all(self, arms):
        """Whether what is matched stays covered when an arm goes."""
        patterns = [arm.child_by_field_name("pattern") for arm in arms.children if arm.type == "match_arm"]
        return any(self.own(pattern) == "_" for pattern in patterns)

    def match_arm(self, node):
        pattern = node.child_by_field_name("pattern")
        condition = pattern.child_by_field_name("condition")
        gone = self.found("MatchArm", pattern) if self.has_catch_all(node.parent) else []
        guards = self.found("MatchArmGuard", condition) if condition else []
        if not gone and not guards:
            return None
        asked = [f"!{on(number)}" for number, _ in gone]
        if condition:
            asked_here = f"({self.render(condition)})"
            for number, holds in guards:
                asked_here = f"({on(number)} || {asked_here})" if holds == "true" else f"(!{on(number)} && {asked_here})"
            asked.append(asked_here)
        matched = self.between(pattern.start_byte, condition.start_byte if condition else pattern.end_byte)
        matched = re.sub(r"\s+if\s*$", "", matched) if condition else matched
        marks = "".join(mark(number) for number, _ in gone + guards)
        before = self.between(node.start_byte, pattern.start_byte)
        after = self.children(node, pattern.end_byte, node.end_byte)
        return f"{before}{matched}\n if {' && '.join(asked)} {marks}\n{after}"

    def field_initializer(self, node):
        mutants = self.found("StructField", node)
        if not mutants:
            return None
        value = node.child_by_field_name("value")
        field = self.own(node.child_by_field_name("field")) if value else self.own(node)
        base = next(other for other in node.parent.children if other.type == "base_field_initializer")
        kind = self.own(node.parent.parent.child_by_field_name("name"))
        from_base = f"let base: &{kind} = &({self.own(base).removeprefix('..')}); base.{field}.clone()"
        return f"{field}: {chosen([(mutants[0][0], from_base)], self.render(value) if value else field)}"

    shorthand_field_initializer = field_initializer

    def const_item(self, node):
        """Nothing constant can ask which mutant is on; inside a function a binding does as well."""
        if node.parent.type != "block" or self.whole(node) == self.own(node):
            return None
        return re.sub(r"^const (\w+)", r"let \1", self.whole(node))

    def function_item(self, node):
        body = node.child_by_field_name("body")
        comments = ("line_comment", "block_comment")
        says = [child for child in body.named_children if child.type not in comments or self.own(child).startswith("///")]
        mutants = self.found("FnValue", says[0]) if says else []
        head = re.sub(r"\bconst fn\b", "fn", self.between(node.start_byte, body.start_byte))
        returned = node.child_by_field_name("return_type")
        if returned and self.own(returned).startswith("impl Iterator"):
            text = self.whole(body)
            # What is leaked is `&mut`, which is not what such an iterator gives.
            leaked = [mutant for mutant in mutants if "::leak(" in mutant[1]]
            self.woven.difference_update(number for number, _ in leaked)
            mutants = [mutant for mutant in mutants if mutant not in leaked]
            for number, other in mutants:
                branches = chosen(
                    [(number, f"crate::switch::Either::Mutant({other})")], f"crate::switch::Either::Own({text})"
                )
                text = f"{{ {branches} }}"
            return head + text
        early = "".join(f"\nif {on(number)} {{ return {other}; }} {mark(number)}" for number, other in mutants)
        return f"{head}{{{early}\n{self.whole(body)[1:]}"


def main():
    listed, source, copy, left_out = (Path(argument) for argument in sys.argv[1:])
    mutants = json.loads(listed.read_text())
    gone = json.loads(left_out.read_text()) if left_out.exists() else {}
    of_file = defaultdict(list)
    for number, mutant in enumerate(mutants):
        of_file[mutant["file"]].append((number, mutant))
    for name, its in of_file.items():
        wanted = [(number, mutant) for number, mutant in its if str(number) not in gone]
        file = Woven((source / name).read_text(), wanted)
        if (copy / name).read_text() != file.text:
            (copy / name).write_text(file.text)
        # A chain with `let` in it takes no `||`.
        gone |= {str(number): "no place of its own" for number, _ in wanted if number not in file.woven}
    left_out.write_text(json.dumps(gone))
    print(f"{len(mutants) - len(gone)} of {len(mutants)} mutants woven in")


if __name__ == "__main__":
    main()
