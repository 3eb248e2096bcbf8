//! What is read of a head that arrived, and how far it may be off.

use crate::instrument::{HammerRow, ReadingError};
use crate::judgement::limit::{LimitKey, LimitUnit, Limits};
use crate::measure::{
    Angle, Length, Mass, Measured, Piece, degrees, grams, mm, to_degrees, to_grams, to_mm,
};

/// One thing read of a head, in its own unit: millimetres, degrees or grams.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Quantity {
    /// Hole axis to crown.
    Bore,
    /// Rake.
    Rake,
    /// Side angle.
    SideAngle,
    /// Mass of the head.
    Mass,
    /// Width at the crown.
    Width,
    /// Hole axis to the end of the tail.
    Tail,
    /// Hole axis to moulding tip.
    Moulding,
    /// Overall height.
    Height,
    /// Diameter of the hole.
    Hole,
}

impl Quantity {
    /// Every one, in the order of the order.
    pub const ALL: [Self; 9] = [
        Self::Bore,
        Self::Rake,
        Self::SideAngle,
        Self::Mass,
        Self::Width,
        Self::Tail,
        Self::Moulding,
        Self::Height,
        Self::Hole,
    ];

    /// Its name, as the dictionary of readings has it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Bore => "bore",
            Self::Rake => "rake",
            Self::SideAngle => "side_angle",
            Self::Mass => "head_mass",
            Self::Width => "width",
            Self::Tail => "tail",
            Self::Moulding => "moulding",
            Self::Height => "head_length",
            Self::Hole => "hole",
        }
    }

    /// What it is called.
    pub fn words(self) -> &'static str {
        match self {
            Self::Bore => "bore",
            Self::Rake => "rake",
            Self::SideAngle => "side angle",
            Self::Mass => "mass",
            Self::Width => "width",
            Self::Tail => "tail",
            Self::Moulding => "moulding",
            Self::Height => "overall height",
            Self::Hole => "hole",
        }
    }

    /// In what it is written.
    pub fn unit(self) -> LimitUnit {
        match self {
            Self::Rake | Self::SideAngle => LimitUnit::Degrees,
            Self::Mass => LimitUnit::Grams,
            _ => LimitUnit::Millimetres,
        }
    }

    /// Whether it lies in the hole alone, so that boring again puts it right.
    pub fn is_bored(self) -> bool {
        matches!(self, Self::Bore | Self::Rake | Self::SideAngle)
    }

    /// A figure of it, as a piece of a sentence.
    pub(super) fn piece(self, value: f64, sd: f64) -> Piece {
        match self.unit() {
            LimitUnit::Degrees => Measured::new(degrees(value), degrees(sd)).into(),
            LimitUnit::Grams => Measured::new(grams(value), grams(sd)).into(),
            _ => Measured::new(mm(value), mm(sd)).into(),
        }
    }

    /// What was read of it in `row`: value, and its standard deviation where one was stated.
    pub(super) fn read(self, row: &HammerRow) -> Option<(f64, f64)> {
        let length = |read: Measured<Length>| (to_mm(read.value), to_mm(read.sd));
        let angle = |read: Measured<Angle>| (to_degrees(read.value), to_degrees(read.sd));
        let mass = |read: Measured<Mass>| (to_grams(read.value), to_grams(read.sd));
        match self {
            Self::Bore => row.bore.map(length),
            Self::Rake => row.rake.map(angle),
            Self::SideAngle => row.side_angle.map(angle),
            Self::Mass => row.mass.map(|read| mass(read.head())),
            Self::Width => row.width.map(length),
            Self::Tail => row.tail.map(length),
            Self::Moulding => row.moulding.map(length),
            Self::Height => row.head_length.map(length),
            Self::Hole => row.hole.map(length),
        }
    }

    /// One standard deviation of a reading of it that states none.
    pub(super) fn doubt(self, tools: &ReadingError, limits: &Limits) -> f64 {
        match self {
            Self::Bore => to_mm(tools.bore),
            Self::Mass => to_grams(tools.mass),
            Self::Rake | Self::SideAngle => {
                tools.rake.map_or_else(|| limits.value(LimitKey::ReceivedAngleReading), to_degrees)
            }
            Self::Width | Self::Tail | Self::Moulding | Self::Height => {
                limits.value(LimitKey::ReceivedSizeReading)
            }
            Self::Hole => limits.value(LimitKey::ReceivedHoleReading),
        }
    }

    /// What the maker may be off, either way.
    pub fn tolerance(self, limits: &Limits) -> f64 {
        let value = |key| limits.value(key);
        match self {
            Self::Bore => value(LimitKey::OrderBore),
            Self::Rake | Self::SideAngle => value(LimitKey::OrderAngle),
            Self::Mass => value(LimitKey::OrderMass),
            Self::Width => value(LimitKey::OrderWidth),
            Self::Tail | Self::Moulding | Self::Height => value(LimitKey::OrderTail),
            Self::Hole => {
                0.5 * (value(LimitKey::HammerHoleMost) - value(LimitKey::HammerHoleLeast))
            }
        }
    }

    /// Half the step to which an order writes it: what was ordered may be that far from what was meant.
    pub(super) fn written(self, limits: &Limits) -> f64 {
        let step = match self {
            Self::SideAngle => limits.value(LimitKey::OrderSideStep),
            Self::Mass => limits.value(LimitKey::OrderMassStep),
            Self::Hole => limits.value(LimitKey::OrderHoleStep),
            Self::Rake => 0.0,
            _ => limits.value(LimitKey::OrderLengthStep),
        };
        0.5 * step
    }
}
