"""The canonical text of a value against another language: ECMAScript, whose numbers it writes."""

from __future__ import annotations

import json
import shutil
import struct
import subprocess
from math import isfinite
from random import Random

import pytest
from jobs import chain, endpoint, run, source

from engine.canonical import canonical

PLAN = chain(source(54), run(100), endpoint(12))

NODE = """
const text = v => v === null || typeof v !== 'object' ? JSON.stringify(v)
  : Array.isArray(v) ? '[' + v.map(text) + ']'
  : '{' + Object.keys(v).sort().map(k => JSON.stringify(k) + ':' + text(v[k])) + '}';
const all = JSON.parse(require('fs').readFileSync(0, 'utf8'));
process.stdout.write(JSON.stringify(all.map(text)));
"""


@pytest.mark.skipif(shutil.which("node") is None, reason="no Node here")
def test_another_language_writes_the_same_text():
    dice = Random(7)
    floats = [struct.unpack(">d", dice.randbytes(8))[0] for _ in range(5000)]
    values = [one for one in floats if isfinite(one)]
    values += [round(dice.uniform(-1e6, 1e6), dice.randint(0, 6)) for _ in range(5000)]
    values += [10.0**power for power in range(-30, 40)]
    values += [{"\ufb33": 1, "\U0001f600": [2.0, None], "": "\x7f\u2028"}, PLAN]
    done = subprocess.run(
        ["node", "-e", NODE], input=json.dumps(values), capture_output=True, text=True, check=True
    )
    assert json.loads(done.stdout) == [canonical(one) for one in values]
