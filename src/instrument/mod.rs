//! What was read at the piano, with its error, and what is believed given the readings.
