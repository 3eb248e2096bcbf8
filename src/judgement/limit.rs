//! Every threshold of the program, in one table: what it is, in which unit, and on what it rests.
//!
//! No other file holds a threshold. A survey sets any of them by name under `[limits]`, in the
//! limit's own unit; the one that it sets is marked, and the assessment shows it.
//!
//! To add a limit, add a row to the table below: variant, name in a survey, value, unit, source, and
//! what it is. Names are stable: surveys rely on them.

mod unit;

use crate::instrument::{About, LimitOverride, Warning};
use crate::measure::number;
use crate::sentence;
pub use unit::{LimitSource, LimitUnit};

/// One threshold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// Which.
    pub key: LimitKey,
    /// Its name in a survey.
    pub name: &'static str,
    /// Its value, in `unit`.
    pub value: f64,
    /// In what it is written.
    pub unit: LimitUnit,
    /// What it is.
    pub about: &'static str,
    /// On what it rests.
    pub source: LimitSource,
    /// Our own value, where the survey has set another.
    pub instead_of: Option<f64>,
}

impl Limit {
    /// A limit of a step as larger side over smaller: 10 % and × 1.1 are the same.
    pub fn as_ratio(&self) -> f64 {
        if self.unit == LimitUnit::Ratio { self.value } else { 1.0 + self.value / 100.0 }
    }
}

macro_rules! limits {
    ($($key:ident, $name:literal, $value:expr, $unit:ident, $source:expr, $about:literal;)*) => {
        /// The limits by key.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum LimitKey {
            $(#[doc = $about] $key,)*
        }

        /// Our own limits, in the order of the keys.
        const OURS: &[Limit] = &[$(
            Limit {
                key: LimitKey::$key,
                name: $name,
                value: $value,
                unit: LimitUnit::$unit,
                about: $about,
                source: $source,
                instead_of: None,
            },
        )*];
    };
}

use LimitSource::{CommonPractice, Proposal, Source};

const TORQUES: LimitSource = Source(
    "technicians' mailing list, December 2000 (pin torque), and an article on loose tuning pins; 50 and 30 in lb",
);
const RAISES: LimitSource =
    Source("technicians' mailing list, January 2000 (overpull), and two articles on pitch raises");
const OLD_UPRIGHTS: LimitSource = Source(
    "technicians' mailing list, 2000 and 2004: about 90 in 100 old uprights 50 to 300 cents flat come up unbroken; one technician's figure",
);
const MARKS: LimitSource = Source("two articles on shaping and reconditioning hammers");

#[rustfmt::skip]
limits! {
    // Breaks: the larger side over the smaller, whichever way the step goes.
    BreakTension, "break_tension", 10.0, Percent, Proposal, "step of tension at a break, per string";
    BreakStress, "break_stress", 10.0, Percent, Proposal, "step of stress at a break, per string";
    BreakLoad, "break_load", 10.0, Percent, Proposal, "step of load at a break, per string";
    BreakInharmonicity, "break_inharmonicity", 1.5, Ratio, Proposal, "step of inharmonicity at a break, per string";
    BreakDrift, "break_drift", 25.0, Percent, Proposal, "step of drift with the seasons at a break, per string";
    BreakImpedance, "break_impedance", 15.0, Percent, Proposal, "step of impedance at a break, per unison";
    BreakMassRatio, "break_mass_ratio", 15.0, Percent, Proposal, "step of hammer mass over string mass at a break, per unison";
    BreakStrikeFraction, "break_strike_fraction", 10.0, Percent, Proposal, "step of the strike point over the speaking length at a break";
    BreakSmoothBelow, "break_smooth_below", 0.1, Chance, Proposal, "a break is smooth when the chance that it steps more than its limit is below this";
    BreakNoticeableAbove, "break_noticeable_above", 0.5, Chance, Proposal, "a break is noticeable when that chance is above this";
    BreakRoughAbove, "break_rough_above", 0.9, Chance, Proposal, "a break is rough when that chance is above this";

    // Tuning by ear, foretold: by which partials an octave is tuned, by its lower key; between two
    // borders its width glides.
    OctavesSixThreeTo, "octaves_63_to", 20.0, Count, Proposal, "octaves are tuned by partials 6 and 3 (common practice in the bass) up to this lower key";
    OctavesFourTwoFrom, "octaves_42_from", 32.0, Count, Proposal, "octaves are tuned by partials 4 and 2 (common practice in the middle) from this lower key";
    OctavesFourTwoTo, "octaves_42_to", 45.0, Count, Proposal, "and up to this lower key";
    OctavesTwoOneFrom, "octaves_21_from", 57.0, Count, Proposal, "octaves are tuned by partials 2 and 1 (common practice in the treble) from this lower key";
    BeatsFollowed, "beats_followed", 15.0, PerSecond, Proposal, "thirds or tenths that beat faster than this are not followed one by one";

    // Readings that do not go with their neighbours': each must pass the deviations and its own.
    MeasureAgainDeviations, "measure_again_deviations", 4.0, Deviations, Proposal, "a reading is to be measured again when it is further than this off its neighbours' course";
    MeasureAgainLength, "measure_again_length", 1.5, Percent, Proposal, "and a length is off by more than this (twice that in stress)";
    MeasureAgainFar, "measure_again_far", 8.0, Percent, Proposal, "or, between readings that are more than nine keys away, by more than this";
    MeasureAgainHalfSizes, "measure_again_half_sizes", 0.75, HalfSizes, Proposal, "or a wire lies outside its neighbours' sizes by more than this";
    MeasureAgainTension, "measure_again_tension", 8.0, Percent, Proposal, "or a wound string's tension is off by more than this";
    MeasureAgainRises, "measure_again_rises", 3.0, Percent, Proposal, "towards the treble a speaking length of one section and kind that grows by more than this is to be measured again (common practice: it falls)";
    MeasureAgainThicker, "measure_again_thicker", 1.5, HalfSizes, Proposal, "the same of wire that grows thicker by more than this";
    MeasureAgainBare, "measure_again_bare", 3.0, Ratio, Proposal, "a bare end beyond this ratio to the middle one of the others of its section is to be measured again";
    MeasureAgainEnds, "measure_again_ends", 2.5, Ratio, Proposal, "the same of a length behind the bridge or before the bearing";
    MeasureAgainStrike, "measure_again_strike", 20.0, Percent, Proposal, "a strike point over its length that is off the others' by more than this is to be measured again";
    StrikeLeast, "strike_least", 4.0, Percent, Proposal, "a strike point over its length less than this is to be measured again (common practice at C8: 1/20 to 1/12)";
    StrikeMost, "strike_most", 17.0, Percent, Proposal, "or more than this (common practice: 1/7 to 1/9, less towards the treble)";
    PitchLeast, "pitch_least", 412.0, Count, Proposal, "A4 in Hz below which the finished pitch is asked after (415 Hz is in use)";
    PitchMost, "pitch_most", 468.0, Count, Proposal, "A4 in Hz above which the finished pitch is asked after (466 Hz is in use)";
    FoundFlat, "found_flat", 400.0, Cents, Proposal, "flatter than this as found is asked after";
    FoundSharp, "found_sharp", 100.0, Cents, Proposal, "sharper than this as found is asked after";
    ReadingErrorWide, "reading_error_wide", 10.0, Ratio, Proposal, "a tool said to err by more than so many times the usual is asked after";

    // Readings that say one thing twice: each must pass its own limit, and the deviations beside it.
    WeighedDeviations, "weighed_deviations", 2.0, Deviations, Proposal, "a weighed string is to be read again when its mass is further than this off that of its diameters";
    WeighedOff, "weighed_off", 2.0, Percent, Proposal, "and off by more than this";
    RecordedDeviations, "recorded_deviations", 3.0, Deviations, Proposal, "a recorded inharmonicity accuses a reading when it is further than this off the computed one";
    RecordedOff, "recorded_off", 10.0, Percent, Proposal, "and off by more than this (a bridge that gives way alone makes a few percent)";
    RecordedPitch, "recorded_pitch", 150.0, Cents, Proposal, "a recorded pitch further than this off where its section was found is of another string or partial";

    // Load at the finished pitch, percent of the series' minimum.
    PlainActLow, "plain_act_low", 25.0, Percent, CommonPractice, "plain string: slacker than this is a fault";
    PlainGoodLow, "plain_good_low", 32.0, Percent, CommonPractice, "plain string: good from here";
    PlainGoodHigh, "plain_good_high", 57.0, Percent, CommonPractice, "plain string below the top octave: good up to here";
    PlainActHigh, "plain_act_high", 60.0, Percent, CommonPractice, "plain string below the top octave: more than this is a fault";
    TopGoodHigh, "top_good_high", 63.0, Percent, CommonPractice, "top octave: good up to here";
    TopActHigh, "top_act_high", 70.0, Percent, CommonPractice, "top octave: more than this is a fault";
    TopOctaveFrom, "top_octave_from", 77.0, Count, CommonPractice, "key number at which the top octave begins";
    WoundActLow, "wound_act_low", 25.0, Percent, CommonPractice, "wound core: slacker than this is a fault";
    WoundGoodLow, "wound_good_low", 30.0, Percent, CommonPractice, "wound core: good from here";
    WoundGoodHigh, "wound_good_high", 50.0, Percent, CommonPractice, "wound core: good up to here";
    WoundActHigh, "wound_act_high", 58.0, Percent, CommonPractice, "wound core: more than this is a fault";
    ElasticLimit, "elastic_limit", 70.0, Percent, Source("R. G. Budynas, J. K. Nisbett, Shigley's Mechanical Engineering Design, table 10-5: music wire yields at 65 to 75 % of its tensile strength; middle"), "load at which wire stretches for good";
    SlackShare, "slack_share", 50.0, Percent, Proposal, "share of a section's notes slack above which the whole section is at fault, not its end";
    LowerSlight, "lower_slight", 20.0, Cents, CommonPractice, "lower pitch that may be named, below the finished pitch (beside A4 = 435 Hz)";
    LowerQuarter, "lower_quarter_tone", 50.0, Cents, CommonPractice, "the next lower pitch that may be named";
    LowerSemitone, "lower_semitone", 100.0, Cents, CommonPractice, "the lowest pitch that may be named, unless it stands lower still";
    OldPitch, "old_pitch", 435.0, Count, CommonPractice, "A4 of the old pitch, Hz, named where the finished pitch lies above it";
    OverpullTrebleFrom, "overpull_treble_from", 52.0, Count, Proposal, "middle key of a section from which it is pulled over as a treble";
    AtPitch, "at_pitch", 5.0, Cents, Proposal, "flat by no more than this, the owner is told that it stands at pitch";
    RaiseSmall, "raise_small", 20.0, Cents, CommonPractice, "a raise up to here is a tuning, not a raise";
    RaiseTwoPasses, "raise_two_passes", 50.0, Cents, RAISES, "flatter than this: first pass to pitch only";
    RaiseManyPasses, "raise_many_passes", 100.0, Cents, RAISES, "flatter than this: several passes, and the owner's consent";
    OverpullBass, "overpull_bass", 12.5, Percent, RAISES, "overpull in the bass, share of the flatness (10 to 15)";
    OverpullTenor, "overpull_tenor", 22.5, Percent, RAISES, "overpull in the tenor, share of the flatness (20 to 25)";
    OverpullTreble, "overpull_treble", 31.5, Percent, RAISES, "overpull in the treble, share of the flatness (30 to 33)";
    OverpullCap, "overpull_cap", 15.0, Cents, RAISES, "no string of old wire goes sharper than this";
    OverpullCapRusty, "overpull_cap_rusty", 10.0, Cents, RAISES, "the same where there is rust at coils and bends or a heavy load";

    // Breakage in the planned raise.
    InPlace, "in_place_strength", 80.0, Percent, Proposal, "strength in place over straight wire: coils, bends, friction at bearings";
    WireLater, "wire_later", 105.0, Percent, Proposal, "strength of later wire over the series' minimum";
    WireLaterFrom, "wire_later_from", 1946.0, Count, Proposal, "wire is later wire from this year on";
    SpreadPianos, "strength_sd_pianos", 4.0, Percent, Proposal, "spread of in-place strength between pianos, one standard deviation";
    SpreadWires, "strength_sd_wires", 2.6, Percent, Proposal, "spread between wires";
    SpreadStrings, "strength_sd_strings", 4.0, Percent, Proposal, "spread between strings of one wire";
    FlawLeast, "flaw_strength_least", 55.0, Percent, Proposal, "a flawed string keeps at least this much of its strength";
    FlawMost, "flaw_strength_most", 85.0, Percent, Proposal, "a flawed string keeps at most this much";
    FlawNoRust, "flaw_share_no_rust", 0.05, Percent, Proposal, "share of flawed strings: no rust at coils and bends";
    FlawTarnish, "flaw_share_tarnish", 0.1, Percent, Proposal, "share of flawed strings: tarnish";
    FlawLight, "flaw_share_light_rust", 0.5, Percent, Proposal, "share of flawed strings: light rust";
    FlawPitting, "flaw_share_pitting", 2.0, Percent, Proposal, "share of flawed strings: pitting";
    FlawUnknown, "flaw_share_not_looked_at", 0.15, Percent, OLD_UPRIGHTS, "share of flawed strings: rust not looked at";
    NoneBreaksLeast, "none_breaks_least", 0.5, Chance, Proposal, "a section that comes up unbroken less often than this is not raised on its old strings";
    NoneBreaksWatch, "none_breaks_watch", 0.8, Chance, Proposal, "below this the owner is told beforehand; a lower pitch must do better";

    // Rust.
    Pitting, "pitting", 3.0, Grade, Proposal, "rust that is pitting";
    LightRust, "light_rust", 2.0, Grade, Proposal, "rust that is watched";
    RustLoad, "rust_load", 50.0, Percent, Proposal, "pitting at the coils decides above this load";

    // Pins.
    PinGood, "pin_good", 9.0, NewtonMetres, TORQUES, "tuning pin tight from here";
    PinLoose, "pin_loose", 5.6, NewtonMetres, TORQUES, "tuning pin loose below this";
    PinUnreliable, "pin_unreliable", 3.4, NewtonMetres, TORQUES, "tuning pin that will not hold below this";
    PinTail, "pin_interval_tail", 0.05, Chance, CommonPractice, "chance left out at each end of an interval for a share of pins";
    PinsFew, "pins_few", 10.0, Percent, Proposal, "share loose that fewer readings must exceed before more than single pins are spoken of";
    PinsHalf, "pins_half", 50.0, Percent, Proposal, "above this share loose: the next size throughout";
    PinsTreat, "pins_treat", 16.7, Percent, Proposal, "above this share loose: more than single pins";
    PinsBatch, "pins_batch", 8.0, Count, CommonPractice, "pins are read so many at a time in a region";
    PinsEnough, "pins_enough", 12.0, Count, Proposal, "as many pins read in a region speak for it";
    PinsGone, "pins_gone", 50.0, Percent, Proposal, "above this share that will not hold: a new block";
    PinLargest, "pin_largest", 7.38, Millimetres, CommonPractice, "pins of this size (4/0) or more leave no next size for an old block";

    // Breakage history.
    BrokenMany, "broken_many", 5.0, Count, Proposal, "more broken strings than this in one section: fatigue";
    BrokenInAYear, "broken_in_a_year", 3.0, Count, Proposal, "as many as this in one section within a year: fatigue";
    BrokenWatch, "broken_watch", 2.0, Count, Proposal, "as many as this in one section are watched";
    BrokenPrior, "broken_a_year", 0.3, PerYear, Proposal, "breakages a year of an old upright at home, before its own history; standard deviation as large";
    GuaranteeUsual, "guarantee_usual", 5.0, Years, CommonPractice, "years over which ways are priced when no guarantee is asked for";

    // Tone of wound strings.
    ToneSet, "tone_set", 50.0, Percent, Proposal, "dead strings counted whole, dull ones half: from this share the set goes";
    ToneTreat, "tone_treat", 25.0, Percent, Proposal, "share dull or dead from which cleaning or twisting is worth a trial";
    ToneStage, "tone_stage", 50.0, Percent, Proposal, "share dull or dead from which the set goes where the piano is taught or performed on";
    StockShare, "stock_set_share", 25.0, Percent, Proposal, "a made-to-measure wound set that costs more than this share of the restored piano: stock sizes";

    // Hammers.
    MarkGood, "mark_good", 6.0, Millimetres, MARKS, "string marks good up to here";
    MarkAct, "mark_act", 12.0, Millimetres, MARKS, "string marks longer than this: reshape, or replace where felt is short";
    FeltGoodBass, "felt_good_bass", 8.0, Millimetres, Proposal, "felt over the moulding in the bass: good from here (from memory)";
    FeltGoodMiddle, "felt_good_middle", 6.0, Millimetres, Proposal, "felt in the middle: good from here (from memory)";
    FeltGoodTop, "felt_good_top", 3.0, Millimetres, Proposal, "felt at the top: good from here (from memory)";
    FeltActBass, "felt_act_bass", 5.0, Millimetres, Proposal, "felt in the bass: less is replaced (from memory)";
    FeltActMiddle, "felt_act_middle", 4.0, Millimetres, Proposal, "felt in the middle: less is replaced (from memory)";
    FeltActTop, "felt_act_top", 2.0, Millimetres, Proposal, "felt at the top: less is replaced (from memory)";
    FeltBassTo, "felt_bass_to", 28.0, Count, Proposal, "last key of the bass, for felt";
    FeltTopFrom, "felt_top_from", 64.0, Count, Proposal, "first key of the top, for felt";
    BoreLostGood, "bore_lost_good", 1.0, Millimetres, Proposal, "bore lost: good up to here";
    BoreLostAct, "bore_lost_act", 2.0, Millimetres, Proposal, "bore lost: more puts the hammer over centre by 0.8 degrees";
    HammersSet, "hammers_set", 33.3, Percent, Proposal, "from this share to be replaced: the whole set";
    HammersReshape, "hammers_reshape", 25.0, Percent, Proposal, "from this share with deep marks: reshape";
    HammersLeast, "hammers_least", 3.0, Count, Proposal, "fewer sampled heads than this say nothing of the set";

    // Old wire.
    WireOldBefore, "wire_old_before", 1880.0, Count, CommonPractice, "wire strung before this year: no defensible strength without a tested sample";

    // How sure.
    PitchReading, "pitch_reading", 2.0, Cents, Proposal, "doubt of a pitch as found, one standard deviation";
    EarError, "ear_error", 0.1, Chance, Proposal, "chance that a string's tone is put one step wrong";
    EyeError, "eye_error", 0.1, Chance, Proposal, "chance that a rust grade is put one step wrong";
    AgreementEnough, "agreement_enough", 0.95, Chance, Proposal, "re-runs that must agree before nothing more is worth measuring";

    // Hammers: samples beside heights.
    HammerSample, "hammer_sample", 1.5, Millimetres, Proposal, "a sample whose bore is off its section's median by more than this is named";
    HammerSampleDeviations, "hammer_sample_deviations", 3.0, Deviations, Proposal, "and by more than so many standard deviations of its own difference";
    HammerSection, "hammer_section", 1.0, Millimetres, Proposal, "a section whose samples' median is off the heights by more than this is named";
    HammerSectionErrors, "hammer_section_errors", 3.0, Deviations, Proposal, "and by more than so many standard errors of that median";
    HammerHeight, "hammer_height", 1.0, Millimetres, Proposal, "a height that is off what the others of its section foretell by more than this, and by as many standard deviations as a sample, is named";
    HammerBorder, "hammer_border", 3.0, Millimetres, Proposal, "heights of neighbouring hammers of one section that differ by more than this: the break lies between them";
    HammerBorderKeys, "hammer_border_keys", 3.0, Count, Proposal, "keys from one hammer to another that counts as its neighbour there";
    // Hammers: one sample beside the others of its section, which must agree with each other as closely.
    HammerOffRake, "hammer_off_rake", 3.0, Degrees, Proposal, "a rake further than this off those of the others of its section is to be read again";
    HammerOffWidth, "hammer_off_width", 1.2, Millimetres, Proposal, "the same of a width";
    HammerOffPitch, "hammer_off_pitch", 1.2, Millimetres, Proposal, "the same of the spacing of heads";
    HammerOffHanging, "hammer_off_hanging", 4.0, Millimetres, Proposal, "the same of the distance from the hammer centre pin to the head";
    HammerOffBlow, "hammer_off_blow", 8.0, Millimetres, Proposal, "the same of a blow distance";
    HammerOffTail, "hammer_off_tail", 4.0, Millimetres, Proposal, "the same of a tail";
    HammerOffHole, "hammer_off_hole", 0.4, Millimetres, Proposal, "the same of a hole";
    HammerOffCrown, "hammer_off_crown", 6.0, Millimetres, Proposal, "the same of a crown's radius (a diameter is twice it)";
    HammerCloses, "hammer_closes", 1.5, Millimetres, Proposal, "overall height less bore and tail, or bore less moulding and felt, beyond which one of the readings is wrong";
    // Hammers: the bore.
    HammerBoreDoubt, "hammer_bore_doubt", 0.8, Millimetres, Proposal, "a bore of which one standard deviation is more than this is not ordered but made to a sample";
    HammerBoreSpread, "hammer_bore_spread", 2.0, Millimetres, CommonPractice, "bore between the ends of a section beyond which it is bored note by note";
    HammerBoreStep, "hammer_bore_step", 1.0, Millimetres, Proposal, "step of the bore at a break that is pointed out";
    HammerBeyond, "hammer_beyond", 6.0, Count, Proposal, "keys beyond the outermost height of a section that its bore may be carried on";
    HammerAllowance, "hammer_allowance", 1.0, Millimetres, CommonPractice, "felt allowed for later filing";
    HammerObliquityGood, "hammer_obliquity_good", 1.0, Degrees, CommonPractice, "obliquity up to which a strike is good";
    HammerObliquityMost, "hammer_obliquity_most", 2.0, Degrees, CommonPractice, "obliquity up to which a strike is acceptable";
    // Hammers: sideways, hole and tail.
    HammerGapRest, "hammer_gap_rest", 1.5, Millimetres, CommonPractice, "gap between neighbouring heads at rest";
    HammerGapPassing, "hammer_gap_passing", 0.8, Millimetres, CommonPractice, "gap between a head at its string and its neighbour";
    HammerSideShare, "hammer_side_share", 80.0, Percent, CommonPractice, "share of the splay above which a side angle counts as the full one where half is usual";
    HammerSideSplay, "hammer_side_splay", 5.0, Degrees, Proposal, "splay from which its share is looked at";
    HammerSideHand, "hammer_side_hand", 1.5, Degrees, Proposal, "a head and its string that lean by more than this to opposite sides are read with the wrong hand (three times what a bevel reads)";
    HammerHoleLeast, "hammer_hole_least", 0.08, Millimetres, CommonPractice, "hole less shank, at least";
    HammerHoleMost, "hammer_hole_most", 0.10, Millimetres, CommonPractice, "hole less shank, at most";
    HammerShanks, "hammer_shanks", 3.0, Count, Proposal, "shanks to be measured before a hole is ordered";
    HammerTailUpright, "hammer_tail_upright", 14.0, Millimetres, CommonPractice, "hole axis to the end of the tail, upright";
    HammerTailGrand, "hammer_tail_grand", 28.0, Millimetres, Proposal, "hole axis to the end of the tail, grand";
    // Hammers: mass and touch.
    HammerMassOff, "hammer_mass_off", 15.0, Percent, CommonPractice, "departure of a head's mass from the curve of the set";
    HammerMassDoubt, "hammer_mass_doubt", 0.6, Grams, Proposal, "a mass of which one standard deviation is more than this is not ordered but made to a sample";
    HammerMean, "hammer_mean", 3.0, Grams, CommonPractice, "mean of down and up with the new set, from the old";
    HammerFriction, "hammer_friction", 15.0, Grams, CommonPractice, "friction at the key beyond which it is seen to before heads are judged by weight";
    HammerSamples, "hammer_samples", 6.0, Count, CommonPractice, "samples sent to the maker, at least";
    // New strings.
    RestringPull, "restring_pull", 2.0, Percent, Proposal, "with new strings all pull together at most this much more than as found (plate, soundboard)";
    RestringLighter, "restring_lighter", 5.0, Percent, Proposal, "new strings of the lighter alternative pull at least this much less than those that may go";
    RestringRun, "restring_run", 2.0, Count, Proposal, "a run of one plain wire has at least so many notes";
    RestringOutside, "restring_outside", 1.0, Percent, Proposal, "a string found outside a load limit may stand this much further outside, percent of its breaking load";
    RestringGap, "restring_gap", 1.5, Millimetres, Proposal, "clear gap between neighbouring strings, at least";
    RestringWind, "restring_wind", 6.0, Count, Proposal, "notes at the bottom of the plain wire that are tried wound, at most";
    RestringBeside, "restring_beside", 10.0, Count, Proposal, "notes either side of a break that are strung anew where the break alone is rescaled";
    // What a maker is asked to keep, either way.
    OrderBore, "order_bore", 0.3, Millimetres, CommonPractice, "tolerance of an ordered bore";
    OrderAngle, "order_angle", 0.5, Degrees, Proposal, "tolerance of ordered rake and side angle";
    OrderMass, "order_mass", 0.3, Grams, CommonPractice, "tolerance of an ordered head's mass";
    OrderWidth, "order_width", 0.2, Millimetres, Proposal, "tolerance of an ordered head's width";
    OrderTail, "order_tail", 0.5, Millimetres, Proposal, "tolerance of tail, moulding and overall height";
    // Orders of strings: what is cut beyond the measured lengths, and what a string maker is asked to keep.
    StringCoils, "string_coils", 3.0, Count, CommonPractice, "coils on a tuning pin";
    StringBecket, "string_becket", 6.0, Millimetres, CommonPractice, "wire in the hole of a tuning pin";
    StringHandling, "string_handling", 100.0, Millimetres, Proposal, "wire held while a string is put on and cut off afterwards, for each wire";
    StringLoop, "string_loop", 100.0, Millimetres, Proposal, "wire in the loop of a string that has its own";
    StringWaste, "string_waste", 5.0, Percent, Proposal, "plain wire spoilt and cut off, beside the lengths counted";
    StringCoil, "string_coil", 500.0, Grams, CommonPractice, "mass of a coil in which plain wire is bought";
    OrderCore, "order_core", 0.01, Millimetres, Proposal, "tolerance of an ordered core and winding wire";
    OrderCoreOff, "order_core_off", 0.02, Millimetres, Proposal, "a wire ordered further than this from the one read at an unchanged note is named";
    OrderOver, "order_over", 0.03, Millimetres, Proposal, "tolerance of the diameter over an ordered winding";
    OrderWinding, "order_winding", 2.0, Millimetres, Proposal, "tolerance of start and end of an ordered winding, from the loop";
    OrderLengthStep, "order_length_step", 0.1, Millimetres, Proposal, "an order writes lengths of a head to the nearest of this";
    OrderSideStep, "order_side_step", 0.5, Degrees, Proposal, "an order writes side angles to the nearest of this";
    OrderMassStep, "order_mass_step", 0.1, Grams, Proposal, "an order writes masses to the nearest of this";
    OrderHoleStep, "order_hole_step", 0.01, Millimetres, Proposal, "an order writes holes to the nearest of this";
    // What to measure.
    PlanTension, "plan_tension", 2.0, Percent, Proposal, "a note is not planned to be read when its tension is known to this without, one standard deviation";
    PlanBore, "plan_bore", 0.4, Millimetres, Proposal, "the same of a bore";
    PlanReading, "plan_reading", 1.3, Ratio, Proposal, "or when reading it would not make the doubt smaller than by this";
    // Heads that arrived.
    ReceivedFalseAlarms, "received_false_alarms", 5.0, Percent, Proposal, "of sets that arrived with every head within its tolerance, at most this share is accused of anything: a head, section or set is off when it is beyond its tolerance by more than its readings explain at that rate";
    ReceivedReadAgain, "received_read_again", 5.0, Percent, Proposal, "a reading is to be repeated when it is beyond the tolerance by more than a head at the edge of it would be read with this chance";
    ReceivedAngleReading, "received_angle_reading", 0.5, Degrees, Proposal, "reading of an angle of a head that arrived, one standard deviation, where none is stated";
    ReceivedSizeReading, "received_size_reading", 0.1, Millimetres, Proposal, "reading of width, tail, moulding and height of a head that arrived, one standard deviation, where none is stated";
    ReceivedHoleReading, "received_hole_reading", 0.02, Millimetres, Proposal, "reading of the hole of a head that arrived, one standard deviation, where none is stated (pin gauges)";
    ReceivedSetShare, "received_set_share", 33.3, Percent, Proposal, "from this share of heads to be sent back: the whole set";
    ReceivedEnough, "received_enough", 50.0, Percent, Proposal, "share of the heads of which the bore must have been read before a set is accepted";
}

/// All limits as one survey has them.
#[derive(Debug, Clone, PartialEq)]
pub struct Limits {
    rows: Vec<Limit>,
    warnings: Vec<Warning>,
}

impl Default for Limits {
    fn default() -> Self {
        Self { rows: OURS.to_vec(), warnings: Vec::new() }
    }
}

impl Limits {
    /// Our limits, with those that a survey sets in their place. A name that does not exist, or a
    /// value that its unit does not allow, changes nothing and is a warning.
    ///
    /// ```
    /// use feltwire::instrument::LimitOverride;
    /// use feltwire::judgement::limit::{LimitKey, Limits};
    /// let set = LimitOverride { name: "break_tension".into(), value: 8.0 };
    /// let limits = Limits::with(&[set]);
    /// assert_eq!(limits.value(LimitKey::BreakTension), 8.0);
    /// assert_eq!(limits.limit(LimitKey::BreakTension).instead_of, Some(10.0));
    /// ```
    pub fn with(overrides: &[LimitOverride]) -> Self {
        let mut limits = Self::default();
        for set in overrides {
            limits.set(set);
        }
        limits
    }

    /// The limit of `key`.
    pub fn limit(&self, key: LimitKey) -> &Limit {
        &self.rows[key as usize]
    }

    /// The value of `key`, in its own unit.
    pub fn value(&self, key: LimitKey) -> f64 {
        self.limit(key).value
    }

    /// Every limit, in the order of the table.
    pub fn iter(&self) -> impl Iterator<Item = &Limit> {
        self.rows.iter()
    }

    /// The limits that the survey has set.
    pub fn overridden(&self) -> impl Iterator<Item = &Limit> {
        self.rows.iter().filter(|limit| limit.instead_of.is_some())
    }

    /// What the survey asked for and did not get.
    pub fn warnings(&self) -> &[Warning] {
        &self.warnings
    }

    fn set(&mut self, set: &LimitOverride) {
        let Some(limit) = self.rows.iter_mut().find(|limit| limit.name == set.name) else {
            self.warnings.push(unknown(&set.name));
            return;
        };
        if limit.unit.allows(set.value) {
            limit.instead_of = limit.instead_of.or(Some(limit.value));
            limit.value = set.value;
            limit.source = LimitSource::Survey;
        } else {
            self.warnings.push(not_allowed(limit));
        }
    }
}

fn unknown(name: &str) -> Warning {
    let near = OURS
        .iter()
        .map(|limit| (strsim::jaro_winkler(name, limit.name), limit.name))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let mut text = sentence![format!("there is no limit called `{name}`; it changes nothing")];
    if let Some((_, like)) = near {
        text.push(format!("; the nearest name is `{like}`"));
    }
    Warning { kind: "unknown_limit", about: About::Set, text }
}

fn not_allowed(limit: &Limit) -> Warning {
    let text = sentence![
        format!("the limit `{}` must be {}; ", limit.name, limit.unit.range()),
        number(limit.value),
        " stays in force"
    ];
    Warning { kind: "limit_not_allowed", about: About::Set, text }
}

#[cfg(test)]
mod tests;
