//! `[money]`, `[limits]` and `[shop]`.

use super::KnownLimit;
use super::fault::{Fault, FaultKind};
use super::quantity::impossible;
use super::tree::{Item, Keys};
use super::words::{meant, shown};
use crate::instrument::{LimitOverride, Money, Shop};
use crate::measure::text;

/// Largest logo that is read, 1 MiB.
const MAX_LOGO: usize = 1 << 20;
const PNG: &[u8] = b"\x89PNG\r\n\x1a\n";

pub(super) fn money(root: &Keys) -> Option<Money> {
    let keys = root.table("money")?;
    let currency = keys
        .need("currency", "write the currency of the prices: currency = \"EUR\"")
        .and_then(|item| item.name());
    let price = |key| {
        let item = keys.get(key)?;
        let price = item.number("2400")?;
        if !(0.0..=1e9).contains(&price) {
            item.desk.fault(impossible(
                &item.name,
                &price.to_string(),
                "a price of zero or more",
                &item.at,
            ));
            return None;
        }
        Some(price)
    };
    let money = Money {
        currency: currency.unwrap_or_default(),
        value_restored: price("value_restored"),
        restring: price("restring"),
        wound_set: price("wound_set"),
        hammers: price("hammers"),
        visit: price("visit"),
    };
    keys.finish();
    Some(money)
}

/// Limits that the survey sets in place of ours; `known` is what may be set.
pub(super) fn limits(root: &Keys, known: &[KnownLimit]) -> Vec<LimitOverride> {
    let Some(keys) = root.table("limits") else { return Vec::new() };
    let mut limits = Vec::new();
    for (name, at, item) in keys.rest() {
        let Some(limit) = known.iter().find(|limit| limit.name == name) else {
            let fault = Fault::new(
                FaultKind::UnknownLimit,
                &at,
                format!("no limit is called `{}`", shown(name)),
            )
            .expected(format!(
                "one of {}",
                known.iter().map(|limit| limit.name).collect::<Vec<_>>().join(", ")
            ));
            keys.desk.fault(match meant(name, known.iter().map(|limit| limit.name)) {
                Some(near) => fault
                    .found(format!("did you mean `{near}`?"))
                    .remedy(format!("write `{near}`"))
                    .fix(near),
                None => fault.found("not a limit of this program").remedy(
                    "take the line out, or write the name of a limit as the assessment prints it",
                ),
            });
            continue;
        };
        if let Some(value) = limit_value(&item, limit) {
            limits.push(LimitOverride { name: name.to_owned(), value });
        }
    }
    limits
}

/// A number in the limit's own unit, with that unit behind it or without.
fn limit_value(item: &Item, limit: &KnownLimit) -> Option<f64> {
    let example =
        if limit.unit.is_empty() { "0.15".to_owned() } else { format!("\"5.6 {}\"", limit.unit) };
    let Some((written, true)) = item.scalar() else { return item.number(&example) };
    let (kind, found) = match text::split_number(&written) {
        Some((value, unit)) if (unit.is_empty() || unit == limit.unit) && value.is_finite() => {
            return Some(value);
        }
        Some((_, unit)) => (FaultKind::WrongUnit, format!("in `{}`", shown(unit))),
        None => (FaultKind::NotANumber, "no number".to_owned()),
    };
    let unit = if limit.unit.is_empty() {
        "a pure number".to_owned()
    } else {
        format!("a number in {}", limit.unit)
    };
    item.desk.fault(
        Fault::new(kind, &item.at, format!("{} is {unit}, not \"{}\"", item.name, shown(&written)))
            .found(found)
            .expected(unit)
            .remedy(format!("write it like this: {} = {example}", limit.name)),
    );
    None
}

pub(super) fn shop(root: &Keys) -> Shop {
    let Some(keys) = root.table("shop") else { return Shop::default() };
    let shop = Shop {
        name: keys.name_of("name"),
        address: keys.get("address").map_or_else(Vec::new, |item| address(&item)),
        contact: keys.name_of("contact"),
        logo: keys.get("logo").and_then(|item| logo(&item)),
    };
    keys.finish();
    shop
}

/// One line as text, or lines in a list.
fn address(item: &Item) -> Vec<String> {
    if matches!(item.scalar(), Some((_, true))) {
        return item.name().into_iter().collect();
    }
    let lines = item.list(
        "write the lines of the address in a list: address = [\"2 Birch Lane\", \"Netherby\"]",
    );
    lines.unwrap_or_default().iter().filter_map(Item::name).collect()
}

fn logo(item: &Item) -> Option<Vec<u8>> {
    let name = item.text("write the name of the picture in quotation marks: \"logo.png\"")?;
    let bytes = item.desk.bytes(name, Some(&item.at), MAX_LOGO)?;
    if bytes.starts_with(PNG) {
        return Some(bytes);
    }
    item.desk.fault(
        Fault::new(FaultKind::BadLogo, &item.at, format!("`{}` is no PNG picture", shown(name)))
            .found("not a PNG file inside, whatever its name says")
            .expected("a PNG picture of at most 1 MiB")
            .remedy("save the picture again as PNG, or leave the line out"),
    );
    None
}
