"""A journal on a disk of another computer may lose what was acknowledged; it is refused."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from readbell.journal.disk import SHARED_KINDS, doubt_about, sync_folder

if TYPE_CHECKING:
    from pathlib import Path

# Fields of the lines as in proc_pid_mountinfo(5): the fifth is where it is mounted, the first
# after the dash is the kind.
ROOT = "22 1 8:1 / / rw,relatime shared:1 - ext4 disk rw"


def mounts(tmp_path: Path, *lines: str) -> Path:
    """Write a list of mounts and return its name."""
    listed = tmp_path / "mountinfo"
    listed.write_text("".join(f"{line}\n" for line in (ROOT, *lines)), encoding="utf-8")
    return listed


def mounted(place: Path | str, kind: str) -> str:
    """Return the line of a disk of this kind."""
    return f"40 22 0:50 / {place} rw,noatime shared:2 master:1 - {kind} server:/share rw"


def test_a_disk_of_this_computer_gives_no_doubt(tmp_path: Path) -> None:
    """It is where nearly every journal stands."""
    listed = mounts(tmp_path, mounted(tmp_path / "elsewhere", "nfs4"))

    assert doubt_about(tmp_path / "bay.journal", listed) is None


@pytest.mark.parametrize("kind", sorted(SHARED_KINDS))
def test_a_network_disk_is_told_with_what_to_do(tmp_path: Path, kind: str) -> None:
    """The write-ahead log does not work over a network file system (SQLite documentation)."""
    listed = mounts(tmp_path, mounted(tmp_path, kind))

    doubt = doubt_about(tmp_path / "bay.journal", listed)

    assert doubt is not None
    assert f"network disk ({kind}): move the journal to a disk of this computer" in doubt


def test_the_deepest_mount_decides(tmp_path: Path) -> None:
    """A local disk inside a network folder is local, whatever the order of the list."""
    inside = mounted(tmp_path / "local", "ext4")
    outside = mounted(tmp_path, "nfs4")

    for lines in ((inside, outside), (outside, inside)):
        assert doubt_about(tmp_path / "local" / "j", mounts(tmp_path, *lines)) is None
        assert doubt_about(tmp_path / "other" / "j", mounts(tmp_path, *lines)) is not None


def test_of_two_mounts_on_one_place_the_later_decides(tmp_path: Path) -> None:
    """A network disk that is mounted on demand lies on top of a placeholder of another kind."""
    listed = mounts(tmp_path, mounted(tmp_path, "autofs"), mounted(tmp_path, "nfs4"))

    assert doubt_about(tmp_path / "bay.journal", listed) is not None


def test_a_place_with_a_space_in_its_name_is_found(tmp_path: Path) -> None:
    """The list writes it as an octal number."""
    place = f"{tmp_path}/the\\040share"
    listed = mounts(tmp_path, mounted(place, "cifs"))

    assert doubt_about(tmp_path / "the share" / "bay.journal", listed) is not None


def test_a_name_that_only_begins_alike_is_another_place(tmp_path: Path) -> None:
    """The folder "share2" is not inside "share"."""
    listed = mounts(tmp_path, mounted(tmp_path / "share", "nfs"))

    assert doubt_about(tmp_path / "share2" / "bay.journal", listed) is None


def test_where_no_list_is_to_be_had_nothing_is_held_against_a_disk(tmp_path: Path) -> None:
    """Only Linux tells; elsewhere the guide has to."""
    assert doubt_about(tmp_path / "bay.journal", tmp_path / "not-there") is None


def test_the_disk_under_these_tests_can_be_asked(tmp_path: Path) -> None:
    """The real list must be understood, whatever stands in it."""
    doubt = doubt_about(tmp_path / "bay.journal")

    assert doubt is None or "network disk" in doubt


def test_a_folder_can_be_put_on_the_disk(tmp_path: Path) -> None:
    """No power can be cut here, so all that is shown is that it is allowed and undone."""
    sync_folder(tmp_path)

    tmp_path.rmdir()
    with pytest.raises(OSError, match="No such file"):
        sync_folder(tmp_path)
