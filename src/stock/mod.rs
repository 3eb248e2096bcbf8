//! What can be bought and what it is made of: the embedded tables, each row with its source.
