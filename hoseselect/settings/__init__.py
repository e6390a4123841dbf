"""What a shop sets once: read, checked by the field types of a job, changed."""
