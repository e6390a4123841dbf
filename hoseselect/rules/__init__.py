"""Rules: demand against limit, over columns of jobs and hose sizes."""
