"""What people look at: dry-run page, paper template, job card."""
