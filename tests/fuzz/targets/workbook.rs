//! A spreadsheet: byte 0 says whether the rest is a whole file or the parts that are packed into one, for
//! a checksum that no longer fits would hide nearly every change to a packed file from its reader.
#![no_main]

use feltwire::survey::Memory;
use std::io::{Cursor, Write as _};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

const SURVEY: &str = "format = 1\n[instrument]\nname = \"a\"\nkind = \"upright\"\n[wire]\ngauge = \"inch\"\n\
    [[section]]\nname = \"all\"\nnotes = [\"A0\", \"C8\"]\n[strings]\ntable = ";

fn packed(bytes: &[u8]) -> Vec<u8> {
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    for (name, part) in feltwire_fuzz::unpacked(bytes).0 {
        // A name that no archive may hold is no input of ours.
        if archive.start_file(name, options).is_ok() {
            archive.write_all(&part).expect("memory");
        }
    }
    archive.finish().expect("memory").into_inner()
}

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let Some((how, rest)) = bytes.split_first() else { return };
    let name = if how & 1 == 0 { "strings.xlsx" } else { "strings.ods" };
    let table = if how & 2 == 0 { packed(rest) } else { rest.to_vec() };
    let survey = format!("{SURVEY}\"{name}\"\n");
    feltwire_fuzz::try_folder(&Memory::new([("survey.toml", survey.as_bytes()), (name, &table)]));
});
