//! Ends and ticks of the vertical axis.

use super::super::figures::{ascii, fixed, superscript};
use super::{Figure, PlotFault, Scale};

/// Ends of the axis and its ticks, in its unit.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Reach {
    pub low: f64,
    pub high: f64,
    pub scale: Scale,
    /// Values with their labels, upwards.
    pub ticks: Vec<(f64, String)>,
}

impl Reach {
    /// Where `value` stands between the ends: 0 at the low, 1 at the high.
    pub(super) fn share(&self, value: f64) -> f64 {
        match self.scale {
            Scale::Linear => (value - self.low) / (self.high - self.low),
            Scale::Logarithmic => (value / self.low).ln() / (self.high / self.low).ln(),
        }
    }

    pub(super) fn holds(&self, value: f64) -> bool {
        (self.low..=self.high).contains(&value)
    }
}

/// Ends and ticks that fit `figure`.
pub(super) fn reach(figure: &Figure) -> Result<Reach, PlotFault> {
    let (low, high) = match figure.axis.range {
        Some(range) => range,
        None => extremes(figure).ok_or(PlotFault::Empty)?,
    };
    let given = figure.axis.range.is_some();
    match figure.axis.scale {
        Scale::Linear => linear(low, high, figure.axis.from_zero, given),
        Scale::Logarithmic => logarithmic(low, high, given),
    }
}

/// Least and greatest of all that is to be seen: values, bands, edges of zones.
fn extremes(figure: &Figure) -> Option<(f64, f64)> {
    let points = figure.series.iter().flat_map(|series| &series.points);
    let values = points.flat_map(|point| {
        let (low, high) = point.value.and(point.band).unzip();
        [point.value, low, high].into_iter().flatten()
    });
    let edges = figure.zones.iter().flat_map(|zone| [zone.from, zone.to].into_iter().flatten());
    values.chain(edges).fold(None, |ends: Option<(f64, f64)>, v| {
        Some(ends.map_or((v, v), |(l, h)| (l.min(v), h.max(v))))
    })
}

/// Steps of 1, 2 or 5 that cut `extent` into at most seven.
fn step(extent: f64) -> f64 {
    let raw = extent / 7.0;
    let power = 10_f64.powf(raw.log10().floor());
    let step = [1.0, 2.0, 5.0].into_iter().find(|step| step * power >= raw * (1.0 - 1e-9));
    step.unwrap_or(10.0) * power
}

fn linear(low: f64, high: f64, from_zero: bool, given: bool) -> Result<Reach, PlotFault> {
    let (mut low, mut high) = (low, high);
    if from_zero && !given {
        low = low.min(0.0);
    }
    if !(high - low).is_finite() || high < low {
        return Err(PlotFault::Empty);
    }
    let least = 1e-6 * low.abs().max(high.abs()).max(1e-9);
    if high - low < least {
        (low, high) = (low - least.max(0.5), high + least.max(0.5));
    }
    // A little air above the highest and below the lowest value, unless the ends are given or zero.
    let air = if given { 0.0 } else { 0.04 * (high - low) };
    let step = step(high - low + 2.0 * air);
    if !given {
        let half = 0.5 * step;
        high = ((high + air) / half).ceil() * half;
        low = if low == 0.0 { 0.0 } else { ((low - air) / half).floor() * half };
    }
    let places = decimals(step);
    let first = (low / step - 1e-9).ceil() as i64;
    let last = (high / step + 1e-9).floor() as i64;
    let ticks = (first..=last).map(|n| (n as f64 * step, fixed(n as f64 * step, places))).collect();
    Ok(Reach { low, high, scale: Scale::Linear, ticks })
}

/// Places after the point that tell steps of `step` apart.
fn decimals(step: f64) -> i32 {
    (-(step.log10() + 1e-9).floor()).max(0.0) as i32
}

fn logarithmic(low: f64, high: f64, given: bool) -> Result<Reach, PlotFault> {
    if !(low > 0.0 && high >= low && high.is_finite()) {
        return Err(PlotFault::Empty);
    }
    let decades = low.log10().floor() as i32 - 1..=high.log10().ceil() as i32 + 1;
    let grid = |digits: [f64; 6]| -> Vec<(i32, f64)> {
        decades.clone().flat_map(|e| digits.map(|digit| (e, digit))).collect()
    };
    // The axis may end between its ticks, which stand at 1, 2 and 5.
    let steps = grid([1.0, 1.5, 2.0, 3.0, 5.0, 7.0]);
    let value = |(e, digit): (i32, f64)| digit * 10_f64.powi(e);
    let (low, high) = if given {
        (low, high)
    } else {
        let under = steps.iter().rev().map(|s| value(*s)).find(|v| *v <= low * 0.97);
        let over = steps.iter().map(|s| value(*s)).find(|v| *v >= high * 1.03);
        under.zip(over).ok_or(PlotFault::Empty)?
    };
    if high / low < 1.0 + 1e-6 {
        return Err(PlotFault::Empty);
    }
    let decades_only = (high / low).log10() > 4.5;
    let ticks = steps
        .into_iter()
        .filter(|s| {
            let v = value(*s);
            let tick = [1.0, 2.0, 5.0][..if decades_only { 1 } else { 3 }].contains(&s.1);
            v >= low * (1.0 - 1e-9) && v <= high * (1.0 + 1e-9) && tick
        })
        .map(|s| (value(s), logarithmic_label(s)))
        .collect();
    Ok(Reach { low, high, scale: Scale::Logarithmic, ticks })
}

fn logarithmic_label((exponent, digit): (i32, f64)) -> String {
    if (-2..=4).contains(&exponent) {
        ascii(digit * 10_f64.powi(exponent), (-exponent).max(0))
    } else {
        format!("{digit:.0} × 10{}", superscript(exponent))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels(reach: &Reach) -> Vec<&str> {
        reach.ticks.iter().map(|(_, label)| label.as_str()).collect()
    }

    #[test]
    fn linear_ticks_are_round_and_hold_the_data() {
        let reach = linear(612.0, 988.0, false, false).expect("an extent");
        assert_eq!(labels(&reach), ["600", "700", "800", "900", "1000"]);
        let reach = linear(12.0, 71.0, true, false).expect("an extent");
        assert_eq!((reach.low, labels(&reach)[1]), (0.0, "20"));
        let reach = linear(-0.3, 0.2, false, false).expect("an extent");
        assert!(labels(&reach).contains(&"−0.1") && labels(&reach).contains(&"0.0"), "{reach:?}");
        let alone = linear(5.0, 5.0, false, false).expect("one value");
        assert!(alone.low < 5.0 && alone.high > 5.0);
        assert!(linear(f64::NEG_INFINITY, 1.0, false, false).is_err());
    }

    #[test]
    fn logarithmic_ticks_are_one_two_five() {
        let reach = logarithmic(1.3e-4, 2.2e-2, false).expect("above zero");
        assert_eq!(
            labels(&reach),
            [
                "1 × 10⁻⁴",
                "2 × 10⁻⁴",
                "5 × 10⁻⁴",
                "1 × 10⁻³",
                "2 × 10⁻³",
                "5 × 10⁻³",
                "0.01",
                "0.02"
            ]
        );
        assert!((reach.share(1e-3) - (10.0_f64.ln() / 300.0_f64.ln())).abs() < 1e-12);
        assert!(logarithmic(0.0, 1.0, false).is_err());
    }
}
