"""What files share: written lengths, TOML with places, tables held against models, saving a job's folder."""
