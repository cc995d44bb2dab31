"""Words: the core's data turned into sentences, numbers with units, tables and text files."""
