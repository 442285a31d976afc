"""The digests of the golden record, worked out without the program: hashlib only.

Usage: chain.py LINES > crates/craft/src/log/golden.txt

LINES holds the lines of a record, the origin first. What is printed is one line for each: the digest up to there,
two spaces, the line. The rule: the digest before the first line is 32 zero bytes, and each further one is
SHA-256(digest before || line in UTF-8, without its end). A golden file given as LINES is checked the same way: its
own digests are cut off first, so running it on golden.txt must print golden.txt again.
"""

import hashlib
import re
import sys

head = bytes(32)
for line in open(sys.argv[1], encoding="utf-8").read().splitlines():
    line = re.sub(r"^[0-9a-f]{64}  ", "", line)
    head = hashlib.sha256(head + line.encode("utf-8")).digest()
    print(f"{head.hex()}  {line}")
