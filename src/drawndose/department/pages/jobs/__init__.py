"""Long work on pages: packs of paper made by workers, what may be asked for, and the pages that show how far it is."""
