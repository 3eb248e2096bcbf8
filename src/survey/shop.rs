//! `[money]`, `[limits]` and `[shop]`.

use super::fault::{Fault, FaultKind};
use super::item::Item;
use super::quantity::impossible;
use super::tree::Keys;
use super::words::{meant, shown};
use crate::instrument::{LimitOverride, Money, Shop};

/// Most pixels of a logo: a small file may hold a picture that fills the memory.
const MAX_LOGO_PIXELS: usize = 4_000_000;
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
            let made = impossible(&item.name, &price.to_string(), "zero or more", &item.at);
            item.desk.fault(made.remedy("write the price as a number: 2400"));
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

/// Limits that the survey sets in place of ours, each as a number in the limit's own unit.
pub(super) fn limits(root: &Keys, known: &[&str]) -> Vec<LimitOverride> {
    let Some(keys) = root.table("limits") else { return Vec::new() };
    let mut limits = Vec::new();
    for (name, at, item) in keys.rest() {
        if !known.contains(&name) {
            let fault = Fault::new(
                FaultKind::UnknownLimit,
                &at,
                format!("no limit is called `{}`", shown(name)),
            );
            keys.desk.fault(match meant(name, known.iter().copied()) {
                Some(near) => fault
                    .found(format!("did you mean `{near}`?"))
                    .expected("the name of a limit, as `feltwire limits` prints them")
                    .remedy(format!("write `{near}`"))
                    .fix(near),
                None => fault
                    .found("not a limit of this program")
                    .expected("the name of a limit, as `feltwire limits` prints them")
                    .remedy("take the line out, or write such a name"),
            });
        } else if let Some(value) = item.number("5.6, in the limit's own unit and without it") {
            limits.push(LimitOverride { name: name.to_owned(), value });
        }
    }
    limits
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
    let bytes = item.desk.bytes(name, Some(&item.at))?;
    let wrong = match picture(&bytes) {
        Ok(()) => return Some(bytes),
        Err(wrong) => wrong,
    };
    item.desk.fault(
        Fault::new(
            FaultKind::BadLogo,
            &item.at,
            format!("`{}` is no PNG picture of at most 1 MiB", shown(name)),
        )
        .found(wrong)
        .expected("a PNG picture of at most 1 MiB")
        .remedy("save the picture again as PNG, or leave the line out"),
    );
    None
}

/// Whether `bytes` are a picture that can be printed; in words what is wrong when not.
fn picture(bytes: &[u8]) -> Result<(), &'static str> {
    const DAMAGED: &str = "damaged: it cannot be drawn";
    if bytes.len() > MAX_LOGO {
        return Err("too large");
    }
    if !bytes.starts_with(PNG) {
        return Err("not PNG inside, whatever its name says");
    }
    let limits = png::Limits { bytes: 8 * MAX_LOGO_PIXELS };
    let decoder = png::Decoder::new_with_limits(std::io::Cursor::new(bytes), limits);
    let mut reader = decoder.read_info().map_err(|_| DAMAGED)?;
    let (width, height) = reader.info().size();
    if width as usize * height as usize > MAX_LOGO_PIXELS {
        return Err("too many pixels: 4 million at most");
    }
    let mut pixels = vec![0; reader.output_buffer_size().ok_or(DAMAGED)?];
    reader.next_frame(&mut pixels).map_err(|_| DAMAGED)?;
    Ok(())
}
