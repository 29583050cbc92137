"""`python -m drawndose.cli` is `drawndose`."""

import sys

from drawndose.cli import main

sys.exit(main())
