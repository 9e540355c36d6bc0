"""Mutants of a module: cosmic-ray's operators, two of our own, and what is left alone."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any, ClassVar, NamedTuple

from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.operators.operator import Operator
from cosmic_ray.plugins import get_operator

# Replacements that a slip of the pen could make; `<<` for `+` would only be killed too easily.
CHOSEN = [
    *(
        f"ReplaceBinaryOperator_{pair}"
        for pair in (
            *("Add_Sub", "Sub_Add", "Add_Mul", "Mul_Div", "Div_Mul", "Mul_Add", "Pow_Mul"),
            *("FloorDiv_Div", "FloorDiv_Mul", "Mod_FloorDiv", "BitOr_BitAnd", "BitAnd_BitOr"),
        )
    ),
    *(
        f"ReplaceComparisonOperator_{pair}"
        for pair in (
            *("Eq_NotEq", "NotEq_Eq", "Lt_LtE", "Lt_GtE", "LtE_Lt", "LtE_Gt"),
            *("Gt_GtE", "Gt_LtE", "GtE_Gt", "GtE_Lt", "Is_IsNot", "IsNot_Is"),
        )
    ),
    *(f"ReplaceUnaryOperator_Delete_{sign}" for sign in ("USub", "Invert", "Not")),
    *("AddNot", "ReplaceTrueWithFalse", "ReplaceFalseWithTrue"),
    *("ReplaceAndWithOr", "ReplaceOrWithAnd", "ReplaceBreakWithContinue"),
    *("ReplaceContinueWithBreak", "NumberReplacer", "ZeroIterationForLoop", "ExceptionReplacer"),
]
TWINS = {
    **{"min": "max", "minimum": "maximum", "any": "all", "floor": "ceil", "sum": "mean"},
    **{"argmin": "argmax", "zeros_like": "ones_like", "zeros": "ones"},
}
SIGNS = {"+=": ("-=", "="), "-=": ("+=", "="), "*=": ("/=", "="), "/=": ("*=", "=")}
WORDS_OF_FAULTS = {"Fault", "InputError", "problem", "repair", "message"}


class Replaced(Operator):
    """A token in the place of another."""

    words: ClassVar[dict[str, tuple[str, ...]]] = {}

    def mutation_positions(self, node: Any) -> Iterator[Any]:
        if node.type in ("name", "operator") and node.value in self.words:
            for _ in self.words[node.value]:
                yield node.start_pos, node.end_pos

    def mutate(self, node: Any, index: int) -> Any:
        node.value = self.words[node.value][index]
        return node

    @classmethod
    def examples(cls) -> tuple[()]:
        return ()


class TwinReplacer(Replaced):
    words: ClassVar = {a: (b,) for pair in TWINS.items() for a, b in (pair, pair[::-1])}


class SignReplacer(Replaced):
    words: ClassVar = SIGNS


class Mutant(NamedTuple):
    path: str
    line: int
    operator: str
    occurrence: int


def operator_of(name: str) -> Operator:
    own: dict[str, type[Operator]] = {"TwinReplacer": TwinReplacer, "SignReplacer": SignReplacer}
    return own[name]() if name in own else get_operator(f"core/{name}")()


def mutants(path: str) -> list[Mutant]:
    """Return all mutants of a module but those in annotations, decorators and words of faults."""
    tree, found = get_ast(Path(path).read_text()), []
    for name in (*CHOSEN, "TwinReplacer", "SignReplacer"):
        operator, occurrence = operator_of(name), 0
        for node in ast_nodes(tree):
            for position in operator.mutation_positions(node):
                if not left_alone(node):
                    found.append(Mutant(path, position[0][0], name, occurrence))
                occurrence += 1
    return sorted(found)


def mutated(mutant: Mutant, source: str) -> str:
    """Return a module's source with the mutant's change."""
    changed: str = mutate_code(source, operator_of(mutant.operator), mutant.occurrence)
    return changed


def left_alone(node: Any) -> bool:
    """Return whether a node stands in an annotation, an import, a decorator or words of a fault."""
    while (parent := node.parent) is not None:
        kind, first = parent.type, parent.children[0]
        annotated = (
            (kind in ("annassign", "tfpdef") and node is not parent.children[-1])
            or (kind == "tfpdef" and node is not first)
            or (kind == "annassign" and len(parent.children) == 2)
            or (kind == "funcdef" and node is parent.annotation)
        )
        of_fault = getattr(first, "value", "") in WORDS_OF_FAULTS and node is not first
        alias = (
            kind == "expr_stmt" and node.type == "expr" and parent.parent.parent is tree_of(node)
        )
        if annotated or of_fault or alias or kind in ("raise_stmt", "decorator", "fstring"):
            return True
        if kind in ("import_from", "import_name", "import_as_names"):
            return True
        if kind == "parameters" and node.type == "operator":
            return True
        node = parent
    return False


def tree_of(node: Any) -> Any:
    return node.get_root_node()
