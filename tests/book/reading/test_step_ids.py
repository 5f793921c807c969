"""Step ids filled in by `check --fix`."""

from __future__ import annotations

from pathlib import Path

from build_tools.reading.lines import scan
from build_tools.reading.step_ids import fill_step_ids


def test_missing_ids_are_made_from_the_first_words(tmp_path: Path) -> None:
    """An id is the step's first telling words; one that is taken gets a number; others stay as they are."""
    page = tmp_path / "page.md"
    page.write_bytes(
        b"/// steps\r\n1. Hold the ring, and pull.  \r\n    More.\r\n2. Hold the ring and pull.\r\n"
        b"3. Stop. {#stop}\r\n4. [Stop](x.md) {{ a-figure }}\r\n5. 3 times\r\n///\r\n\r\n1. Not a step\r\n"
    )

    assert fill_step_ids(page) == ["hold-ring-pull", "hold-ring-pull-2", "stop-2", "step-3-times"]
    assert page.read_bytes() == (
        b"/// steps\r\n1. Hold the ring, and pull. {#hold-ring-pull}\r\n    More.\r\n"
        b"2. Hold the ring and pull. {#hold-ring-pull-2}\r\n3. Stop. {#stop}\r\n"
        b"4. [Stop](x.md) {{ a-figure }} {#stop-2}\r\n5. 3 times {#step-3-times}\r\n///\r\n\r\n"
        b"1. Not a step\r\n"
    )


def test_a_page_with_all_its_ids_is_not_touched(tmp_path: Path) -> None:
    """A second run writes nothing."""
    page = tmp_path / "page.md"
    page.write_text("/// steps\n1. Look\n///\n", encoding="utf-8")
    fill_step_ids(page)
    before = page.stat().st_mtime_ns

    assert fill_step_ids(page) == []
    assert page.stat().st_mtime_ns == before
    assert [step.id for step in scan(page.read_text(encoding="utf-8")).steps] == ["look"]
