//! What inharmonicity instruments have and ears notice, by pitch alone; bands to compare with, never
//! targets.
//!
//! Treble of real instruments: `ln B = 0.0944 m - 13.68`, m = 69 + 12 log2(f1/440 Hz), which rises with
//! the pitch. Just audible as such: `ln B = 2.57 ln f1 - 26.5`, f1 in Hz, 55 to 1109 Hz.
//! Source: F. Rigaud, B. David, L. Daudet, J. Acoust. Soc. Am. 133 (2013) 3107 (treble asymptote);
//! H. Järveläinen, V. Välimäki, M. Karjalainen, Acoust. Res. Lett. Online 2 (2001) 79.
//! Holds: the first within 12 % up to C5 and 40 % at C6; below the treble it is too low, for wound
//! strings rise again towards the bass. Every real string is above the second: it is no design limit
//! and says nothing about regularity.
//!
//! ```
//! use feltwire::measure::{hertz, Note};
//! use feltwire::physics::typical;
//! // C4 measured: B = 3.3e-4 (Lehtonen et al., J. Acoust. Soc. Am. 122 (2007) 1787, table I).
//! let c4 = Note::parse("C4").unwrap().frequency(hertz(440.0));
//! assert!((typical::treble(c4).0 / 3.3e-4 - 1.0).abs() < 0.12);
//! ```

use crate::measure::{Frequency, Inharmonicity, to_hertz};

/// The treble asymptote of B at a pitch.
pub fn treble(f1: Frequency) -> Inharmonicity {
    let midi = 69.0 + 12.0 * (to_hertz(f1) / 440.0).log2();
    Inharmonicity((0.0944 * midi - 13.68).exp())
}

/// B that is just heard as inharmonic; `None` outside 55 to 1109 Hz, where nobody listened.
pub fn just_audible(f1: Frequency) -> Option<Inharmonicity> {
    let f1 = to_hertz(f1);
    (55.0..=1109.0).contains(&f1).then(|| Inharmonicity((2.57 * f1.ln() - 26.5).exp()))
}
