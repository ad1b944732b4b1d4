//! What to feed.
