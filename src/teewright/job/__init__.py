"""Use cases: each step of a job joins the rooms below; values in, results and findings out."""
