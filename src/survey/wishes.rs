//! What `[hammers]` asks of the maker of heads beside sizes.

use super::item::Item;
use super::possible;
use super::quantity::impossible;
use super::sections::named_as;
use super::tree::Keys;
use crate::instrument::{Crown, Hardener, HoleShape, Hung, Section, Spares, Wishes};
use toml::de::DeValue;

/// Most spare heads of one section: a set of the largest piano.
const MOST_SPARES: i64 = 88;

pub(super) fn read(keys: &Keys, sections: &[Section]) -> Wishes {
    Wishes {
        needed_by: keys.get("needed_by").and_then(|item| date(&item)),
        hung: keys.word("hung", &[("loose", Hung::Loose), ("on shanks", Hung::OnShanks)]),
        samples_back: keys.get("samples_back").and_then(|item| item.flag()),
        wood: keys.name_of("wood"),
        under_felt: keys.name_of("under_felt"),
        fastening: keys.name_of("fastening"),
        felt_hardness: keys.name_of("felt_hardness"),
        hardener: keys.word(
            "hardener",
            &[
                ("no", Hardener::No),
                ("ask first", Hardener::AskFirst),
                ("allowed", Hardener::Allowed),
            ],
        ),
        crown: keys.word(
            "crown",
            &[
                ("as pressed", Crown::AsPressed),
                ("shaped", Crown::Shaped),
                ("finish-filed", Crown::FinishFiled),
            ],
        ),
        cut_aways: keys.name_of("cut_aways"),
        sides: keys.name_of("sides"),
        tail_shape: keys.name_of("tail_shape"),
        hole_shape: keys.word(
            "hole_shape",
            &[("straight", HoleShape::Straight), ("tapered", HoleShape::Tapered)],
        ),
        hole_depth: keys
            .quantity("hole_depth", "12 mm", possible::hole_depth())
            .map(|read| read.value),
        spares: keys.get("spares").map_or(Spares::NotSaid, |item| spares(&item, sections)),
    }
}

/// A date as people write it: in quotation marks, or bare as the file format allows.
pub(super) fn date(item: &Item) -> Option<String> {
    match item.value {
        DeValue::Datetime(date) => Some(date.to_string()),
        _ => item.name(),
    }
}

/// `1` for one of every section, or `{ bass = 2, treble = 1 }`.
fn spares(item: &Item, sections: &[Section]) -> Spares {
    if !item.is_table() {
        return count(item).map_or(Spares::NotSaid, Spares::Each);
    }
    let Some(keys) = item.keys() else { return Spares::NotSaid };
    let named = keys.rest().into_iter().filter_map(|(name, at, item)| {
        let section = named_as(name, &at, item.desk, sections);
        Some((section?, count(&item)?))
    });
    Spares::Of(named.collect())
}

fn count(item: &Item) -> Option<usize> {
    let written = item.whole("1, for one of every section, or { bass = 2 }")?;
    if !(0..=MOST_SPARES).contains(&written) {
        let made = impossible(&item.name, &written.to_string(), "0 to 88 heads", &item.at);
        item.desk.fault(made.remedy("write how many spare heads of each section you want"));
        return None;
    }
    usize::try_from(written).ok()
}
