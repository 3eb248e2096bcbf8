//! Every table as a file: header, row count, sources, blanks.

use super::source::{self, citation};
use super::{TABLES, Table, material_names};
use std::collections::BTreeSet;

/// Columns that may be empty: a note, or a reading that the header says was not found.
const MAY_BE_EMPTY: [&str; 2] = ["note", "tolerance_mm"];

fn cells(table: &Table) -> (Vec<String>, Vec<Vec<String>>) {
    let mut reader =
        csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(table.text.as_bytes());
    let owned = |record: &csv::StringRecord| record.iter().map(str::to_owned).collect();
    let head = owned(reader.headers().expect(table.name));
    let rows = reader.records().map(|row| owned(&row.expect(table.name))).collect();
    (head, rows)
}

fn csv_tables() -> impl Iterator<Item = &'static Table> {
    TABLES.iter().filter(|table| table.is_csv())
}

/// Every source key that a table names in its rows or its header, with the table.
fn keys_used() -> BTreeSet<(&'static str, String)> {
    let mut used = BTreeSet::new();
    let mut add = |table, list: &str| {
        used.extend(list.split(';').map(|key| (table, key.trim().to_owned())));
    };
    for table in csv_tables() {
        add(table.name, table.header("source").expect(table.name));
        let (head, rows) = cells(table);
        let at = head.iter().position(|name| name == "source").expect(table.name);
        for row in &rows {
            add(table.name, &row[at]);
        }
    }
    for material in super::materials() {
        for property in material.sources() {
            add("materials.toml", property);
        }
    }
    used
}

#[test]
fn every_header_says_what_it_is_and_how_many_rows_follow() {
    for table in TABLES {
        for key in ["title", "source", "edition", "authoritative unit"] {
            let said = table.header(key).unwrap_or_default();
            assert!(!said.is_empty(), "{}: no `{key}`", table.name);
        }
        assert_eq!(table.header("copied by"), Some("the Feltwire authors, 2026"), "{}", table.name);
        let stated: usize =
            table.header("rows").expect(table.name).parse().expect("a count of rows");
        let counted = if table.is_csv() { cells(table).1.len() } else { material_names().count() };
        assert_eq!(stated, counted, "{}", table.name);
    }
}

#[test]
fn every_row_has_a_status_and_no_cell_is_blank() {
    for table in csv_tables() {
        let (head, rows) = cells(table);
        assert!(head.iter().any(|name| name == "status"), "{}", table.name);
        for row in &rows {
            for (name, cell) in head.iter().zip(row) {
                let allowed = MAY_BE_EMPTY.contains(&name.as_str());
                assert!(allowed || !cell.is_empty(), "{}: blank {name} in {row:?}", table.name);
                assert_eq!(cell.trim(), cell, "{}: stray space in {row:?}", table.name);
            }
        }
    }
}

#[test]
fn every_source_key_resolves_and_every_source_is_used() {
    let used = keys_used();
    for (table, key) in &used {
        assert!(citation(key).is_some(), "{table} names `{key}`, which sources.toml lacks");
    }
    for (key, text) in source::keys() {
        assert!(used.iter().any(|(_, name)| name == key), "`{key}` is used by no table");
        assert!(!text.trim().is_empty(), "`{key}` is blank");
        assert!(!text.contains("://") && !text.contains("www."), "`{key}` is an address");
    }
}

#[test]
fn a_row_from_memory_says_so_in_both_columns() {
    for table in csv_tables() {
        let (head, rows) = cells(table);
        let column = |name| head.iter().position(|head| head == name).expect(table.name);
        let (source, status) = (column("source"), column("status"));
        for row in &rows {
            if row[source] == "memory" {
                assert_eq!(row[status], "memory", "{}: {row:?}", table.name);
            }
            if row[status] == "interpolated" {
                assert_eq!(row[source], "midpoint", "{}: {row:?}", table.name);
            }
        }
    }
}
