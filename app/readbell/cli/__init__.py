"""The command line: data on standard output, talk on standard error."""
