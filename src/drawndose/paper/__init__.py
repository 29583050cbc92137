"""Paper: pages set by typst with the type that is packaged here, as PDF and PNG. Both doors print through it.

A text is handed over as a value and never written into a page's source, so nothing that someone types is ever read as
typst. Nothing else is loaded: no file, no package, no typeface of the system; the same page is the same file everywhere.
"""

from drawndose.paper.held import held
from drawndose.paper.letters import letter_faults
from drawndose.paper.setting import TYPE, Setting

__all__ = ["TYPE", "Setting", "held", "letter_faults"]
