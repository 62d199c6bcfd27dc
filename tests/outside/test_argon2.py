"""The hash behind a PIN is argon2id as RFC 9106 has it, run through the library that we call.

Sources: RFC 9106, section 5.1 to 5.3 (test vectors) and section 4 (which parameters to choose).
"""

from __future__ import annotations

import pytest
from argon2 import Type, extract_parameters
from argon2.low_level import ARGON2_VERSION, core, error_to_str, ffi

from readbell.journal.pin_file import hasher

PASSES, MEMORY_KIB, LANES, TAG_BYTES = 3, 32, 4, 32
PASSWORD, SALT, SECRET, ASSOCIATED = b"\1" * 32, b"\2" * 16, b"\3" * 8, b"\4" * 12

VECTORS = {
    Type.D: "512b391b6f1162975371d30919734294f868e3be3984f3c1a13a4db9fabe4acb",
    Type.I: "c814d9d1dc7f37aa13f0d77f2494bda1c8de6b016dd388d29952a4c4672b6ce8",
    Type.ID: "0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659",
}
"""Section 5.1, 5.2, 5.3: the tag of each variant."""


def tag(variant: Type) -> str:
    """The tag for the inputs of section 5, by the library's own low-level call."""
    out = ffi.new("uint8_t[]", TAG_BYTES)
    inputs = {
        name: ffi.new("uint8_t[]", text)
        for name, text in (
            ("pwd", PASSWORD),
            ("salt", SALT),
            ("secret", SECRET),
            ("ad", ASSOCIATED),
        )
    }
    context = ffi.new(
        "argon2_context *",
        {
            "out": out,
            "outlen": TAG_BYTES,
            "version": ARGON2_VERSION,
            "pwd": inputs["pwd"],
            "pwdlen": len(PASSWORD),
            "salt": inputs["salt"],
            "saltlen": len(SALT),
            "secret": inputs["secret"],
            "secretlen": len(SECRET),
            "ad": inputs["ad"],
            "adlen": len(ASSOCIATED),
            "t_cost": PASSES,
            "m_cost": MEMORY_KIB,
            "lanes": LANES,
            "threads": LANES,
            "allocate_cbk": ffi.NULL,
            "free_cbk": ffi.NULL,
            "flags": 0,
        },
    )
    code = core(context, variant.value)
    assert code == 0, error_to_str(code)
    return bytes(ffi.buffer(out, TAG_BYTES)).hex()


@pytest.mark.parametrize("variant", VECTORS, ids=lambda each: each.name)
def test_the_library_gives_the_tags_of_the_standard(variant: Type) -> None:
    """Another function under the same name would guard nothing."""
    assert tag(variant) == VECTORS[variant]


def test_a_pin_is_hashed_with_the_second_choice_of_the_standard() -> None:
    """Section 4: argon2id, three passes, four lanes, 64 MiB, a 128-bit salt, a 256-bit tag."""
    found = extract_parameters(hasher().hash("4071"))

    assert (found.type, found.version) == (Type.ID, 0x13)
    assert (found.time_cost, found.memory_cost, found.parallelism) == (3, 64 * 1024, 4)
    assert (found.salt_len, found.hash_len) == (16, 32)
