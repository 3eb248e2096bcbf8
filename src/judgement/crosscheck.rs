//! Readings that say one thing twice and differ: which to doubt.

use super::limit::{LimitKey, Limits};
use crate::instrument::{About, Warning};
use crate::measure::{Cents, Sentence, share};
use crate::scale::crosscheck::{Crosscheck, Suspect, Twice};
use crate::sentence;

/// A warning for every pair that is further apart than its limits.
pub fn warnings(pairs: &[Crosscheck], limits: &Limits) -> Vec<Warning> {
    pairs.iter().filter(|pair| stands_out(pair, limits)).map(warning).collect()
}

/// Whether the two differ by more than their limits.
pub fn stands_out(pair: &Crosscheck, limits: &Limits) -> bool {
    let beyond = |deviations: LimitKey, off: LimitKey| {
        // Without any doubt stated, the size alone decides.
        let sure = pair.deviations().is_none_or(|is| is > limits.value(deviations));
        sure && pair.ln_off.abs() > (limits.value(off) / 100.0).ln_1p()
    };
    match pair.twice {
        Twice::Mass { .. } => beyond(LimitKey::WeighedDeviations, LimitKey::WeighedOff),
        Twice::Inharmonicity { .. } => beyond(LimitKey::RecordedDeviations, LimitKey::RecordedOff),
        Twice::Pitch { .. } => pair.cents().0.abs() > limits.value(LimitKey::RecordedPitch),
    }
}

fn warning(pair: &Crosscheck) -> Warning {
    let kind = match pair.twice {
        Twice::Mass { .. } => "weighed_disagrees",
        Twice::Inharmonicity { .. } => "inharmonicity_disagrees",
        Twice::Pitch { .. } => "pitch_disagrees",
    };
    let mut text = says(pair);
    text.extend(advice(pair));
    Warning { kind, about: About::Note(pair.note), text }
}

/// Both figures, and how far apart they are.
pub fn says(pair: &Crosscheck) -> Sentence {
    let mut text = match pair.twice {
        Twice::Mass { read, computed } => {
            sentence![pair.note, " was weighed as ", read, ", its diameters make ", computed]
        }
        Twice::Inharmonicity { read, computed, at } => sentence![
            "the recorded inharmonicity of ",
            pair.note,
            " is ",
            read,
            "; at ",
            at,
            " length and wire make ",
            computed
        ],
        Twice::Pitch { read, expected } => {
            let off = pair.cents().0;
            return sentence![
                "the recorded pitch of ",
                pair.note,
                " is ",
                read,
                ", ",
                Cents(off.abs()),
                if off < 0.0 { " below the " } else { " above the " },
                expected,
                " expected"
            ];
        }
    };
    text.extend(sentence![", ", share(pair.ln_off.exp_m1().abs()), " apart"]);
    text
}

/// What to do about it.
pub fn advice(pair: &Crosscheck) -> Sentence {
    match (pair.twice, pair.doubt) {
        (Twice::Pitch { .. }, _) => ": is it another note, or another partial?".into(),
        (_, Some(Suspect { cause, wound, read, fitting, .. })) => sentence![
            format!("; read {} again first: it was taken as ", cause.words(wound)),
            read,
            ", and ",
            fitting,
            " would fit"
        ],
        (_, None) => "; read this string again".into(),
    }
}
