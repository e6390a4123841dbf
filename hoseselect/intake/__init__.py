"""From what people type to a job."""
