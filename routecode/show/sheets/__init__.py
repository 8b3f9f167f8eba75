"""Tables for people as files: CSV, spreadsheet, page for a browser, paper. What is in them is made elsewhere (`Sheet`)."""
