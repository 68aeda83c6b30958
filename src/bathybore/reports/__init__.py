"""Documents of a walk: the programme as PDF and as one HTML file, from the same content."""
