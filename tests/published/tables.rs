//! The folder of tables and what the program embeds are the same.

use feltwire::stock::TABLES;
use std::collections::BTreeSet;
use std::path::Path;

#[test]
fn every_table_of_the_folder_is_embedded() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tables");
    let on_disk: BTreeSet<String> = std::fs::read_dir(folder)
        .expect("tables/")
        .map(|entry| entry.expect("entry").file_name().to_string_lossy().into_owned())
        // Words, not figures.
        .filter(|name| name != "sources.toml" && name != "glossary.toml")
        .collect();
    let embedded: BTreeSet<String> = TABLES.iter().map(|table| table.name.to_owned()).collect();
    assert_eq!(on_disk, embedded);
}
