"""What is shipped, and how it is found: the checkout, the source distribution."""

from __future__ import annotations

import subprocess
import sys
import tarfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


def test_a_checkout_that_is_not_installed_finds_its_own_data() -> None:
    # without site no editable install is looked up: the packages are there, and the checkout as it stands
    paths = [str(ROOT), *sys.path]
    code = f"import sys; sys.path[:0] = {paths!r}; sys.argv = ['entryprep', 'styles', 'gose']\n"
    code += "from entryprep.cli import main; main()"
    result = subprocess.run([sys.executable, "-S", "-c", code], capture_output=True, text=True, check=False)
    assert result.returncode == 0, result.stderr
    assert "Gose" in result.stdout


@pytest.mark.skipif(not (ROOT / ".git").exists(), reason="what is in the repository is asked of it")
def test_the_source_distribution_holds_everything(tmp_path: Path) -> None:
    code = f"from setuptools.build_meta import build_sdist; print(build_sdist({str(tmp_path)!r}))"
    copy = tmp_path / "copy"
    files = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout.split("\n")
    kept = [name for name in files if name and (ROOT / name).is_file()]
    for name in kept:
        (copy / name).parent.mkdir(parents=True, exist_ok=True)
        (copy / name).write_bytes((ROOT / name).read_bytes())
    pytest.importorskip("setuptools")
    subprocess.run([sys.executable, "-W", "ignore", "-c", code], cwd=copy, capture_output=True, check=True)
    (made,) = tmp_path.glob("*.tar.gz")
    with tarfile.open(made) as archive:
        held = {name.partition("/")[2] for name in archive.getnames()}
    assert set(kept) - held <= {".gitignore"}
