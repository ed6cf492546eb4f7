"""The bench page: a front door in the browser, on this machine alone."""
