"""Files in and out: sheets as lines of cells, files and folders written whole or not at all."""
