"""What differs between two studios: matched, measured, explained, said. Shows nothing and reads no files."""
