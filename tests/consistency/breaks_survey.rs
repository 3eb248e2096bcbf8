//! Surveys for the tests of breaks: read from text, as a door reads them, and carried through belief
//! and scale to series at every break.

use feltwire::instrument::Instrument;
use feltwire::instrument::belief::Belief;
use feltwire::judgement::breaks::tolerance;
use feltwire::judgement::limit::Limits;
use feltwire::measure::Note;
use feltwire::scale::breaks::{
    BreakPlace, Figures, Jump, OffTrend, Outcome, Quantity, Series, find, jump, stands_out,
};
use feltwire::scale::{Scale, compute};
use feltwire::survey::{Known, Memory, read};

/// The mark that the upright's survey names; a survey that names none does not read it.
const LOGO: &[u8] = include_bytes!("../../examples/upright/logo.png");

pub struct Piano {
    pub instrument: Instrument,
    pub scale: Scale,
    pub places: Vec<BreakPlace>,
    pub off: Vec<OffTrend>,
    pub series: Vec<Series>,
}

impl Piano {
    /// A piano from the files of its survey.
    pub fn read(files: &[(&str, &str)]) -> Self {
        let memory = Memory::new(
            files.iter().map(|(name, text)| (*name, text.as_bytes())).chain([("logo.png", LOGO)]),
        );
        let survey = read(&memory, &Known::default());
        let instrument = survey.unwrap_or_else(|faults| panic!("{faults:?}")).instrument;
        let belief = Belief::of(&instrument);
        let scale = compute(&instrument, &belief);
        let places = find(&instrument, &belief, &scale);
        let off = stands_out(&instrument, &belief, &scale, &places, tolerance(&Limits::default()));
        let doubtful: Vec<Note> = off.iter().map(|off| off.note).collect();
        let series = Series::of_scale(&instrument, &belief, &scale, &doubtful);
        Self { instrument, scale, places, off, series }
    }

    /// The place whose outer notes are these.
    pub fn place(&self, below: &str, above: &str) -> &BreakPlace {
        self.places
            .iter()
            .find(|place| place.below == note(below) && place.above == note(above))
            .unwrap_or_else(|| panic!("no break {below}/{above} among {:?}", self.places))
    }

    pub fn series(&self, quantity: Quantity) -> &Series {
        self.series.iter().find(|s| s.quantity() == quantity).expect("every quantity")
    }

    pub fn jump(&self, below: &str, above: &str, quantity: Quantity) -> Jump {
        jump(self.place(below, above), self.series(quantity))
    }

    pub fn figures(&self, below: &str, above: &str, quantity: Quantity) -> Figures {
        match self.jump(below, above, quantity).outcome {
            Outcome::Figures(figures) => *figures,
            Outcome::TooFew(few) => panic!("{quantity:?}: {few:?}"),
        }
    }
}

pub fn note(name: &str) -> Note {
    Note::parse(name).expect("a note")
}
