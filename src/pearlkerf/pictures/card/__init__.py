"""The job card and the cards of pieces on scrap."""
