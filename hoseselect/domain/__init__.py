"""Plain frozen values: service, duty, nipple, route, hose, job, finding, cut plan."""
