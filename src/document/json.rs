//! JSON: 12 significant digits, keys in the order of their struct, never a number that is no number.

pub use super::finite::NotFinite;
use serde::Serialize;
use serde_json::ser::{CompactFormatter, Formatter, PrettyFormatter, Serializer};
use std::io;

/// Significant digits of every number written.
const DIGITS: usize = 12;

/// `data` as one JSON text, indented by two spaces, ending in a newline: for files and terminals.
pub fn pretty(data: &impl Serialize) -> Result<String, NotFinite> {
    let mut text = write(data, PrettyFormatter::new())?;
    text.push('\n');
    Ok(text)
}

/// `data` as one JSON text without spaces: for the typesetter.
pub fn compact(data: &impl Serialize) -> Result<String, NotFinite> {
    write(data, CompactFormatter)
}

fn write(data: &impl Serialize, layout: impl Formatter) -> Result<String, NotFinite> {
    super::finite::check(data)?;
    let mut bytes = Vec::new();
    data.serialize(&mut Serializer::with_formatter(&mut bytes, Rounded(layout)))
        .map_err(|fault| NotFinite { place: fault.to_string() })?;
    String::from_utf8(bytes).map_err(|fault| NotFinite { place: fault.to_string() })
}

/// A number to 12 significant digits; minus zero is zero.
fn rounded(value: f64) -> f64 {
    if value == 0.0 {
        return 0.0;
    }
    format!("{value:.*e}", DIGITS - 1).parse().unwrap_or(value)
}

/// A layout that rounds numbers and leaves the rest to another.
struct Rounded<F>(F);

macro_rules! pass_on {
    ($($name:ident($($arg:ident: $type:ty),*);)*) => {$(
        fn $name<W: io::Write + ?Sized>(&mut self, writer: &mut W, $($arg: $type),*) -> io::Result<()> {
            self.0.$name(writer, $($arg),*)
        }
    )*};
}

impl<F: Formatter> Formatter for Rounded<F> {
    fn write_f64<W: io::Write + ?Sized>(&mut self, writer: &mut W, value: f64) -> io::Result<()> {
        self.0.write_f64(writer, rounded(value))
    }

    pass_on! {
        begin_array(); end_array(); begin_array_value(first: bool); end_array_value();
        begin_object(); end_object(); begin_object_key(first: bool); end_object_key();
        begin_object_value(); end_object_value();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeMap;

    #[derive(Serialize)]
    struct Row {
        tension_n: f64,
        note: &'static str,
        sd_n: Option<f64>,
    }

    #[test]
    fn numbers_carry_twelve_digits_and_keys_keep_their_order() {
        let note = Row { tension_n: 0.1 + 0.2, note: "A#0", sd_n: None };
        assert_eq!(
            compact(&note).expect("finite"),
            r#"{"tension_n":0.3,"note":"A#0","sd_n":null}"#
        );
        assert_eq!(
            compact(&[1.0 / 3.0, -0.0, 812.0]).expect("finite"),
            "[0.333333333333,0.0,812.0]"
        );
        assert_eq!(compact(&123_456_789_012_345.0_f64).expect("finite"), "123456789012000.0");
    }

    #[test]
    fn what_is_not_finite_is_named_by_its_place() {
        let notes = [
            Row { tension_n: 1.0, note: "A0", sd_n: Some(1.0) },
            Row { tension_n: 1.0, note: "A#0", sd_n: Some(f64::NAN) },
        ];
        let data = BTreeMap::from([("notes", &notes)]);
        assert_eq!(pretty(&data).expect_err("NaN").place, "notes[1].sd_n");
        assert_eq!(pretty(&f64::INFINITY).expect_err("infinite").place, "");
    }

    #[test]
    fn a_pretty_text_is_the_same_json() {
        let note = Row { tension_n: 812.0, note: "C♯3 \"\n", sd_n: Some(2.5e-7) };
        let text = pretty(&note).expect("finite");
        assert!(text.ends_with("}\n") && text.contains("\n  \"tension_n\": 812.0,\n"), "{text}");
        let read: serde_json::Value = serde_json::from_str(&text).expect("valid JSON");
        assert_eq!(read["note"], "C♯3 \"\n");
        assert_eq!(read["sd_n"], 2.5e-7);
    }
}
