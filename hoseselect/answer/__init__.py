"""From verdicts to words: ranking, checks, questions, way out, safety."""
