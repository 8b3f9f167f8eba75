"""A revision opened: text in, circuit and findings out. Pure: files are read by `files`, chosen by `cli`."""
