"""`python -m drawndose.department.printing FOLDER`: every specimen as PDF and PNG, to look at and to try a printer with."""

import sys

from drawndose.department.printing.specimens import write

if len(sys.argv) != 2:
    sys.exit("python -m drawndose.department.printing FOLDER")
for line in write(sys.argv[1]):
    print(line)
