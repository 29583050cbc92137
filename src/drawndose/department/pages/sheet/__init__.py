"""The sheet: the pages of one preparation, from its start to its closed record, one module for each place."""
