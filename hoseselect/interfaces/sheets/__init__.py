"""Sheets in and out: jobs, answers, orders and cut lists as CSV, XLSX and Parquet."""
