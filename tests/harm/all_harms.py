"""All tables of harm together."""

import harms_claims
import harms_feeds
import harms_lengths
import harms_oddities
import harms_offsets
import harms_places
import harms_stops
import harms_words

TABLES = (
    harms_places,
    harms_offsets,
    harms_lengths,
    harms_words,
    harms_feeds,
    harms_claims,
    harms_oddities,
    harms_stops,
)
HARMS = tuple(harm for table in TABLES for harm in table.HARMS)
PARTS = harms_claims.PARTS
