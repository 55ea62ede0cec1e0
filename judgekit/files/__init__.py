"""The files a coach writes, checked and turned into the core's shapes."""
