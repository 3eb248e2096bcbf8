//! Reads the hammer tables beside this file: every computed cell becomes one check.

use crate::frame::{Allowed, Check, Class, Inputs};

/// A computed column of a table.
pub struct Column {
    pub name: &'static str,
    pub unit: &'static str,
    /// What the rounding of the printed inputs allows, in `unit`, beside half a unit of the
    /// column's last printed digit.
    pub inputs_allow: fn(&Cells) -> f64,
    pub reason: &'static str,
    pub ours: fn(&Inputs) -> f64,
}

/// The numbers of a row.
pub struct Cells(&'static [(&'static str, &'static str)]);

impl Cells {
    fn text(&self, name: &str) -> &'static str {
        let found = self.0.iter().find(|(column, _)| *column == name);
        found.unwrap_or_else(|| panic!("no column {name}")).1
    }

    pub fn number(&self, name: &str) -> f64 {
        self.text(name).parse().expect("a printed number")
    }
}

/// Every input is printed in full.
pub fn exact_inputs(_: &Cells) -> f64 {
    0.0
}

/// Cells of a row by the names of their columns.
pub type Row = Vec<(&'static str, &'static str)>;

/// The rows of a table; the cells live as long as the test.
pub fn rows(table: &'static str) -> Vec<Row> {
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(table.as_bytes());
    let keep = |text: &str| -> &'static str { text.to_owned().leak() };
    let heads: Vec<&'static str> = reader.headers().expect("header").iter().map(keep).collect();
    let records = reader.records().map(|record| {
        let record = record.expect("a row as long as the header");
        heads.iter().copied().zip(record.iter().map(keep)).collect()
    });
    records.collect()
}

/// One check for every cell of the computed columns, all rows; `inputs` are the columns read.
pub fn checks(rows: Vec<Row>, columns: &'static [Column]) -> Vec<Check> {
    let rows: Vec<&'static [(&'static str, &'static str)]> =
        rows.into_iter().map(|row| &*row.leak()).collect();
    let mut checks = Vec::new();
    for column in columns {
        let cell = |row| Cells(row).text(column.name);
        // A table that drops trailing zeros prints some cells shorter than the column is computed.
        let decimals = rows.iter().map(|row| decimals(cell(row))).max().expect("rows");
        let half_digit = 0.5 * 10_f64.powi(-decimals);
        for (number, row) in rows.iter().enumerate() {
            checks.push(Check {
                locator: format!("row {}, {}", number + 1, column.name).leak(),
                inputs: row,
                expected: cell(row),
                unit: column.unit,
                class: Class::Independent,
                // A hair more than half a digit: a tie may be rounded either way.
                allowed: Allowed::Absolute(
                    half_digit * 1.000_01 + (column.inputs_allow)(&Cells(row)),
                ),
                reason: column.reason,
                ours: column.ours,
            });
        }
    }
    checks
}

fn decimals(text: &str) -> i32 {
    let decimals = text.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    i32::try_from(decimals).expect("a short text")
}
