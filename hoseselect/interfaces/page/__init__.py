"""The local page: counter, bench, photo, sheets and catalogue in a browser; a JSON interface."""
