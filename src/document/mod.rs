//! Report in, text or bytes out; the only room that rounds.
