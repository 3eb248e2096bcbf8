//! The calculation of one note as steps: formula, numbers, result, source. Terminal and JSON print
//! the same steps.

mod sums;

use super::figures::{Rounded, power_of_ten};
use crate::instrument::{CoreShape, Material};
use crate::measure::{Length, Measured, to_g_per_m, to_gpa, to_kg_per_m3, to_mm};
use crate::scale::Explanation;
use crate::scale::doubt::Parts;
use crate::stock;

/// One step of the calculation.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Step {
    /// Under which head it stands.
    pub group: Group,
    /// What is worked out.
    pub what: String,
    /// In symbols; empty for a reading.
    pub formula: String,
    /// The same with its numbers.
    pub numbers: String,
    /// The result, in `unit`.
    pub value: f64,
    /// One standard deviation from the readings; 0 where none is stated.
    pub sd: f64,
    /// Its unit; empty for a pure number.
    pub unit: &'static str,
    /// What else belongs to it.
    pub remark: String,
    /// Whose formula or number it is.
    pub sources: Vec<String>,
}

/// The heads of the calculation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Group {
    Read,
    Materials,
    Mass,
    Tension,
    Load,
    Inharmonicity,
    Besides,
}

impl Group {
    pub const ALL: [Self; 7] = [
        Self::Read,
        Self::Materials,
        Self::Mass,
        Self::Tension,
        Self::Load,
        Self::Inharmonicity,
        Self::Besides,
    ];

    pub fn head(self) -> &'static str {
        match self {
            Self::Read => "What was read",
            Self::Materials => "What it is made of",
            Self::Mass => "Mass",
            Self::Tension => "Tension",
            Self::Load => "Load",
            Self::Inharmonicity => "Inharmonicity",
            Self::Besides => "Besides",
        }
    }

    pub fn key(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::Materials => "materials",
            Self::Mass => "mass",
            Self::Tension => "tension",
            Self::Load => "load",
            Self::Inharmonicity => "inharmonicity",
            Self::Besides => "besides",
        }
    }
}

impl Step {
    fn new(group: Group, what: impl Into<String>, value: f64, unit: &'static str) -> Self {
        Self {
            group,
            what: what.into(),
            formula: String::new(),
            numbers: String::new(),
            value,
            sd: 0.0,
            unit,
            remark: String::new(),
            sources: Vec::new(),
        }
    }

    fn sd(self, sd: f64) -> Self {
        Self { sd, ..self }
    }

    fn relative(self, parts: &Parts) -> Self {
        let sd = self.value * parts.of_readings();
        Self { sd, ..self }
    }

    fn by(self, formula: &str, numbers: impl Into<String>) -> Self {
        Self { formula: formula.to_owned(), numbers: numbers.into(), ..self }
    }

    fn noting(self, remark: impl Into<String>) -> Self {
        Self { remark: remark.into(), ..self }
    }

    fn from(self, source: impl Into<String>) -> Self {
        Self { sources: vec![source.into()], ..self }
    }

    /// With the sources of a property of the tables; of a survey's own material, the survey.
    fn whose(self, material: &Material, sources: impl Fn(&stock::Material) -> &[String]) -> Self {
        let row = if material.own { None } else { stock::material(&material.name) };
        let Some(row) = row else { return self.from("the survey") };
        let cited = sources(row).iter().filter_map(|key| stock::citation(key));
        Self { sources: cited.map(str::to_owned).collect(), ..self }
    }

    /// The result with its ± and unit.
    pub fn result(&self) -> String {
        let small = self.value != 0.0 && self.value.abs() < 1e-2 && self.unit.is_empty();
        let figure = if small {
            if self.sd > 0.0 { power_of_ten(self.value, self.sd, ' ') } else { digits(self.value) }
        } else if self.sd > 0.0 {
            Rounded::new(self.value, self.sd).text(' ')
        } else {
            digits(self.value)
        };
        if self.unit.is_empty() { figure } else { format!("{figure} {}", self.unit) }
    }
}

/// Five digits, for numbers in a formula: enough to do the sum again.
pub(super) fn digits(value: f64) -> String {
    const DIGITS: i32 = 5;
    if value == 0.0 || !value.is_finite() {
        return "0".to_owned();
    }
    let power = value.abs().log10().floor() as i32;
    if !(-3..6).contains(&power) {
        let scaled = Rounded::fixed(value / 10_f64.powi(power), DIGITS - 2).value();
        return format!("{scaled} × 10{}", super::figures::superscript(power));
    }
    let text = Rounded::fixed(value, (DIGITS - 1 - power).max(0)).value();
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// Every step, in the order of the calculation.
pub(super) fn steps(told: &Explanation) -> Vec<Step> {
    let mut steps = read(told);
    steps.extend(materials(told));
    steps.extend(sums::mass(told));
    steps.extend(sums::tension(told));
    steps.extend(sums::load(told));
    steps.extend(sums::inharmonicity(told));
    steps.extend(sums::besides(told));
    steps
}

fn read(told: &Explanation) -> Vec<Step> {
    let step = |what: &str, read: Measured<Length>| {
        Step::new(Group::Read, what, to_mm(read.value), "mm").sd(to_mm(read.sd))
    };
    let string = &told.string;
    let core = match (string.shape, &string.winding) {
        (CoreShape::Hex, _) => "hexagonal core across flats, d",
        (CoreShape::Round, Some(_)) => "core diameter d",
        (CoreShape::Round, None) => "wire diameter d",
    };
    let mut steps = vec![step("speaking length L", string.length), step(core, string.core)];
    if let Some(winding) = &string.winding {
        steps.push(step("diameter over the winding, D", winding.over));
        if let Some(under) = winding.under {
            steps.push(step("diameter over the inner winding, D1", under));
        }
        if let Some(wire) = winding.wire {
            steps.push(step("winding wire (outer layer)", wire));
        }
        for (what, end) in [
            ("bare core, hammer end", winding.bare_front),
            ("bare core, bridge end", winding.bare_back),
        ] {
            let assumed = if end.assumed { ", not read: assumed (proposal)" } else { "" };
            steps.push(step(&format!("{what}{assumed}"), end.length));
        }
        for (what, end) in [
            ("the same of the inner winding, hammer end", winding.under_bare_front),
            ("the same, bridge end", winding.under_bare_back),
        ] {
            steps.extend(end.map(|end| step(what, end)));
        }
    }
    if let Some(weighed) = string.weighed {
        let (value, sd) = (to_g_per_m(weighed.value), to_g_per_m(weighed.sd));
        steps.push(Step::new(Group::Read, "weighed mass per length", value, "g/m").sd(sd));
    }
    steps
}

fn materials(told: &Explanation) -> Vec<Step> {
    let density = |material: &Material, what: &str| {
        let density = material.density;
        let name = format!("density {what} of {}", material.name);
        Step::new(Group::Materials, name, to_kg_per_m3(density.value), "kg/m³")
            .sd(to_kg_per_m3(density.sd))
            .whose(material, |stock| &stock.density.sources)
    };
    let material = &told.string.material;
    let mut steps = vec![density(material, "ρ")];
    if let Some(modulus) = material.youngs_modulus {
        let name = format!("Young's modulus E of {}", material.name);
        steps.push(
            Step::new(Group::Materials, name, to_gpa(modulus.value), "GPa")
                .sd(to_gpa(modulus.sd))
                .whose(material, |stock| {
                    stock.youngs_modulus.as_ref().map_or(&[], |modulus| &modulus.sources)
                }),
        );
    }
    if let Some(winding) = &told.string.winding {
        steps.push(density(&winding.material, "ρw"));
    }
    steps
}
