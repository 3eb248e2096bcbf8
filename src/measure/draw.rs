//! Repeatable random draws.
//!
//! A stream is named by seed, draw number and *the name of the input*: a new input reshuffles no
//! other, and the order in which threads take the draws changes nothing.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use sha2::{Digest, Sha256};

/// The random generator of one draw of one input.
pub type Stream = ChaCha8Rng;

/// One named source of chance (a reading, a wire, a piano) under one seed.
#[derive(Debug, Clone)]
pub struct Input {
    key: [u8; 32],
}

impl Input {
    /// The input `name` under `seed`.
    pub fn new(seed: u64, name: &str) -> Self {
        let mut hash = Sha256::new();
        hash.update(seed.to_le_bytes());
        hash.update(name.as_bytes());
        Self { key: hash.finalize().into() }
    }

    /// The generator for draw number `draw`: the same whatever was drawn before.
    pub fn draw(&self, draw: u64) -> Stream {
        let mut stream = ChaCha8Rng::from_seed(self.key);
        stream.set_stream(draw);
        stream
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_chacha::rand_core::Rng;

    #[test]
    fn a_stream_depends_on_seed_draw_and_name_and_on_nothing_else() {
        let first = |seed, name: &str, draw| Input::new(seed, name).draw(draw).next_u64();
        assert_eq!(first(1, "length A0", 7), first(1, "length A0", 7));
        assert_ne!(first(1, "length A0", 7), first(2, "length A0", 7));
        assert_ne!(first(1, "length A0", 7), first(1, "length A#0", 7));
        assert_ne!(first(1, "length A0", 7), first(1, "length A0", 8));
    }
}
