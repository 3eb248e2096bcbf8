//! One table of any kind, under a survey that is sound: byte 0 says which table.
#![no_main]

use feltwire::survey::Memory;

const SURVEY: &str = "format = 1\n[instrument]\nname = \"a\"\nkind = \"upright\"\ncompass = [\"A0\", \"C8\"]\n\
    [[section]]\nname = \"bass\"\nnotes = [\"A0\", \"E3\"]\n[[section]]\nname = \"tenor\"\nnotes = [\"F3\", \"C8\"]\n";

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let Some((which, table)) = bytes.split_first() else { return };
    let (part, name) = match which % 3 {
        0 => ("[strings]\ntable", "strings.csv"),
        1 => ("[strings]\nruns", "runs.csv"),
        _ => ("[hammers]\ntable", "hammers.csv"),
    };
    let survey = format!("{SURVEY}{part} = \"{name}\"\n");
    feltwire_fuzz::try_folder(&Memory::new([("survey.toml", survey.as_bytes()), (name, table)]));
});
