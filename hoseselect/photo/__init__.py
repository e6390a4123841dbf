"""What a photo of a hose beside a sheet of known size measures. Knows no file and no terminal."""
