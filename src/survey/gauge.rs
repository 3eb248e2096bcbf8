//! Music wire numbers, and the diameters that they stand for.

use super::fault::{Fault, FaultKind};
use super::row::Row;
use super::source::At;
use super::spelling::without_mark;
use super::strings::Strings;
use super::words::shown;
use crate::measure::{Length, Measured, to_mm};
use crate::stock::{WireFault, WireNumber, WireSeries, WireSize};

impl Strings<'_> {
    /// The wire by diameter, by number, or by both when they agree.
    pub fn core(
        &self,
        row: &Row,
        core: &str,
        gauge: &str,
    ) -> (Option<Measured<Length>>, Option<WireSize>) {
        let read = row.length(core);
        let size = row.gauge(gauge).and_then(|(text, _)| self.size(row, gauge, text));
        let Some(size) = size else { return (read, None) };
        let nominal = size.diameter();
        match read {
            Some(read) => {
                let apart = (to_mm(read.value) - to_mm(nominal)).abs();
                if apart > AGREE_MM {
                    row.desk().fault(
                        Fault::new(
                            FaultKind::GaugeDisagrees,
                            &row.at(core),
                            format!(
                                "wire {} is {:.3} mm thick, and the reading beside it {:.3} mm",
                                size.number(),
                                to_mm(nominal),
                                to_mm(read.value)
                            ),
                        )
                        .found("the reading")
                        .expected(format!(
                            "a reading within {AGREE_MM} mm of the number, or only one of the two"
                        ))
                        .remedy("measure again and keep the reading; leave the number's cell empty")
                        .also(&row.at(gauge), "the number"),
                    );
                }
                (Some(read), Some(size))
            }
            None => (Some(Measured::new(nominal, self.reader.error.core)), Some(size)),
        }
    }

    fn size(&self, row: &Row, gauge: &str, text: &str) -> Option<WireSize> {
        let at = row.at(gauge);
        let fault = match (wire_number(text), self.gauge) {
            (Ok(number), Some(series)) => match number.in_series(series) {
                Some(size) => return Some(size),
                None => WireFault::NotInSeries { number, series },
            },
            (Ok(number), None) => {
                row.desk().fault(without_series(number, &at));
                return None;
            }
            (Err(fault), _) => fault,
        };
        row.desk().fault(bad_gauge(&fault, text, &at));
        None
    }
}

/// A wire number, with or without the mark that says that it is one.
pub(super) fn wire_number(text: &str) -> Result<WireNumber, WireFault> {
    WireNumber::parse(without_mark(text))
}

/// A wire number and a diameter beside it may be this far apart: three half sizes would show.
const AGREE_MM: f64 = 0.04;

pub(super) fn without_series(number: WireNumber, at: &At) -> Fault {
    let described = WireSeries::ALL.map(|series| match number.in_series(series) {
        Some(size) => format!("{:.3} mm in the {} series", to_mm(size.diameter()), series.name()),
        None => format!("not in the {} series", series.name()),
    });
    Fault::new(FaultKind::GaugeWithoutSeries, at, format!("wire number {number} means two diameters"))
        .found(format!("{}, {}", described[0], described[1]))
        .expected("[wire] gauge = \"inch\" or \"metric\" in survey.toml")
        .remedy("measure one wire of known number with a micrometer and write the series that fits under [wire]")
}

pub(super) fn bad_gauge(fault: &WireFault, text: &str, at: &At) -> Fault {
    let (title, expected) = match fault {
        WireFault::NotANumber { .. } => (
            format!("\"{}\" is no music wire number", shown(text)),
            "a whole or half number: 15, 15.5 or 15½".to_owned(),
        ),
        WireFault::NotInSeries { number, series } => {
            let mut sizes = series.sizes();
            let ends = sizes.next().zip(sizes.next_back());
            let ends = ends.map(|(a, b)| format!("{} to {}", a.number(), b.number()));
            (
                format!("there is no wire number {number} in the {} series", series.name()),
                format!("a number of the {} series, {}", series.name(), ends.unwrap_or_default()),
            )
        }
    };
    Fault::new(FaultKind::BadGauge, at, title)
        .found("no such size")
        .expected(expected)
        .remedy("read the number again, or measure the wire and write its diameter as core_mm")
}
