"""Machine code brought to life; loading this module loads LLVM."""

from __future__ import annotations

from collections.abc import Callable
from ctypes import CFUNCTYPE, POINTER, c_int32, c_void_p
from typing import Any

import llvmlite.binding as llvm

from fieldsim.compiled.arguments import c_types
from fieldsim.compiled.kept import Code

__all__ = ["load"]

llvm.initialize_native_target()
llvm.initialize_native_asmprinter()

_engines: list[Any] = []  # whose memory holds the code: they live as long as the program


def load(code: Code, kinds: tuple[Any, ...]) -> Callable[..., int]:
    """Return the function that a piece of machine code holds.

    Parameters
    ----------
    code : Code
        For this processor; whatever else it holds runs as it stands.
    kinds : tuple
        Of the arguments.

    Returns
    -------
    callable
        Takes addresses for what is returned and for a fault, then the arguments' parts; returns how
        it ended.
    """
    target = llvm.Target.from_triple(llvm.get_process_triple())
    machine = target.create_target_machine(jit=True)
    engine = llvm.create_mcjit_compiler(llvm.parse_assembly(""), machine)
    engine.add_object_file(llvm.ObjectFileRef.from_data(code.machine_code))
    engine.finalize_object()
    _engines.append(engine)
    parts = [part for kind in kinds for part in c_types(kind)]
    signature = CFUNCTYPE(c_int32, POINTER(c_void_p), POINTER(c_void_p), *parts)
    return signature(engine.get_function_address(code.name))
