"""Changes of the zip itself: names, sizes and flags of its entries, and what stands around it."""

import random
import stat
import zipfile

from cubital.handin.results import MARKED, MISSING, UNREADABLE

from .given import ANSWERS, NOTEBOOK, HandIn, entry, mutant, zip_of

CLIMBS = ("../", "../../../", "/", "/tmp/", "a/../../", "..\\..\\", "C:\\")
LOCAL, CENTRAL = b"PK\x03\x04", b"PK\x01\x02"
FLAGS = {LOCAL: 6, CENTRAL: 8}  # where in an entry's head its flags stand,
METHOD = {LOCAL: 8, CENTRAL: 10}  # how it is packed,
UNPACKED = {LOCAL: 22, CENTRAL: 24}  # and how large it is unpacked
ENCRYPTED = 1


def heads(whole: bytes, name: str, part: dict[bytes, int], value: int, size: int = 2) -> bytes:
    """Write a number into both heads of a zip's entry."""
    changed = bytearray(whole)
    for sign, offset in part.items():
        length = 30 if sign == LOCAL else 46  # bytes of a head before the name
        place = changed.index(name.encode(), 0 if sign == LOCAL else whole.index(CENTRAL))
        at = place - length + offset
        changed[at : at + size] = value.to_bytes(size, "little")
    return bytes(changed)


@mutant(UNREADABLE, "which is not taken")
def entry_that_climbs(given: HandIn, draw: random.Random) -> None:
    name = draw.choice(CLIMBS) + draw.choice(("climbed.txt", "roster.csv", NOTEBOOK))
    given.raw = zip_of(given.all_files.items(), [(entry(name), b"here")])


@mutant(MARKED)
def entries_that_climb_all(given: HandIn, draw: random.Random) -> None:
    where = draw.choice(("../", "../../../", "//", "/tmp/", "a/../../"))
    given.raw = zip_of((where + name, data) for name, data in given.all_files.items())


@mutant(UNREADABLE, "it lacks handin.json")
def entries_at_the_root(given: HandIn, draw: random.Random) -> None:
    given.raw = zip_of((f"/{name}", data) for name, data in given.all_files.items())


@mutant(UNREADABLE, "was changed after the hand-in")
def entries_of_one_name_and_a_false_one_last(given: HandIn, draw: random.Random) -> None:
    given.raw = twice(given, draw, after=True)


@mutant(MARKED)
def entries_of_one_name_and_a_false_one_first(given: HandIn, draw: random.Random) -> None:
    given.raw = twice(given, draw, after=False)


def twice(given: HandIn, draw: random.Random, *, after: bool) -> bytes:
    """Return a zip with two entries of one name; it is written under one of its length."""
    name = draw.choice(sorted(given.files))
    other = "~" * len(name)
    false = [(other, draw.choice((b"", b"{}", given.files[name] + b" ")))]
    files = list(given.all_files.items())
    return zip_of(files + false if after else false + files).replace(other.encode(), name.encode())


@mutant(UNREADABLE, "more than are taken")
def bomb(given: HandIn, draw: random.Random) -> None:
    given.files[draw.choice(sorted(given.files))] = b"0" * draw.choice((8_000_001, 12_000_000))
    given.raw = zip_of(given.all_files.items(), how=zipfile.ZIP_DEFLATED)


@mutant(UNREADABLE, "is not a whole zip")
def bomb_that_says_to_be_small(given: HandIn, draw: random.Random) -> None:
    name = draw.choice(sorted(given.files))
    given.files[name] = b"0" * 9_000_000
    whole = zip_of(given.all_files.items(), how=zipfile.ZIP_DEFLATED)
    given.raw = heads(whole, name, UNPACKED, draw.choice((1, 1_000)), 4)


@mutant(UNREADABLE, "is not a whole zip")
def entry_encrypted(given: HandIn, draw: random.Random) -> None:
    given.raw = heads(given.zipped(), draw.choice(sorted(given.all_files)), FLAGS, ENCRYPTED)


@mutant(UNREADABLE, "is not a whole zip")
def entry_packed_in_an_unknown_way(given: HandIn, draw: random.Random) -> None:
    name = draw.choice(sorted(given.all_files))
    given.raw = heads(given.zipped(), name, METHOD, draw.choice((1, 6, 97, 99, 65_535)))


@mutant(UNREADABLE)
def entry_that_is_a_link(given: HandIn, draw: random.Random) -> None:
    name = draw.choice((ANSWERS, NOTEBOOK))
    link = entry(name)
    link.create_system, link.external_attr = 3, (stat.S_IFLNK | 0o777) << 16  # as Unix packs it
    given.files[name] = draw.choice((b"/etc/passwd", b"../../../gradebook.db", b"/dev/zero"))
    files = given.all_files
    del files[name]
    given.raw = zip_of(files.items(), [(link, given.files[name])])


@mutant(UNREADABLE, "which is not taken")
def entry_more_that_is_a_link(given: HandIn, draw: random.Random) -> None:
    link = entry("link")
    link.create_system, link.external_attr = 3, (stat.S_IFLNK | 0o777) << 16
    given.raw = zip_of(given.all_files.items(), [(link, b"/etc/passwd")])


@mutant(MARKED)
def bytes_around_the_zip(given: HandIn, draw: random.Random) -> None:
    more = draw.randbytes(draw.randint(1, 5_000))
    given.raw = draw.choice((more + given.zipped(), given.zipped() + more[:20]))


@mutant(UNREADABLE, "is not a whole zip")
def zip_truncated(given: HandIn, draw: random.Random) -> None:
    whole = given.zipped()
    given.raw = whole[: draw.randrange(len(whole) - 30)]


@mutant(UNREADABLE, "is not a whole zip")
def zip_with_a_byte_changed(given: HandIn, draw: random.Random) -> None:
    whole = bytearray(given.zipped())
    start = whole.index(given.files[NOTEBOOK])
    whole[start + draw.randrange(len(given.files[NOTEBOOK]))] ^= draw.randint(1, 255)
    given.raw = bytes(whole)


@mutant(UNREADABLE, "more than are taken")
def entries_too_many(given: HandIn, draw: random.Random) -> None:
    more = [(entry(f"{number}.txt"), b"") for number in range(draw.choice((16, 3_000)))]
    given.raw = zip_of(given.all_files.items(), more)


@mutant(UNREADABLE)
def zip_of_nothing(given: HandIn, draw: random.Random) -> None:
    given.raw = draw.choice((b"", zip_of([]), b"\0" * 1_000, b"%PDF-1.7", draw.randbytes(999)))


@mutant(MARKED)
def zip_in_zips(given: HandIn, draw: random.Random) -> None:
    for depth in range(draw.randint(1, 3)):
        given.raw = zip_of([(f"{depth}.zip", given.zipped())])


@mutant(MISSING, "zips deep")
def zip_in_too_many_zips(given: HandIn, draw: random.Random) -> None:
    for depth in range(draw.randint(5, 30)):
        given.raw = zip_of([(f"{depth}.zip", given.zipped())])
