//! Fonts and templates carried inside the program, so that pages and plots look the same everywhere.

/// Running text.
pub const SANS: &[u8] = include_bytes!("assets/IBMPlexSans-Regular.ttf");
/// Headings and table heads.
pub const SANS_SEMIBOLD: &[u8] = include_bytes!("assets/IBMPlexSans-SemiBold.ttf");
/// Asides.
pub const SANS_ITALIC: &[u8] = include_bytes!("assets/IBMPlexSans-Italic.ttf");
/// What the first family lacks: ♯ ♭ ⌀ ⁻ and other scripts.
pub const SYMBOLS: &[u8] = include_bytes!("assets/DejaVuSans.ttf");

/// Every font, in the order in which they are tried.
pub const FONTS: [&[u8]; 4] = [SANS, SANS_SEMIBOLD, SANS_ITALIC, SYMBOLS];

/// Family name of the first three.
pub const SANS_FAMILY: &str = "IBM Plex Sans";
/// Family name of the last.
pub const SYMBOLS_FAMILY: &str = "DejaVu Sans";

/// Licence texts of the fonts, with what they cover.
pub const LICENCES: [(&str, &str); 2] = [
    (SANS_FAMILY, include_str!("assets/IBMPlexSans-licence.txt")),
    (SYMBOLS_FAMILY, include_str!("assets/DejaVuSans-licence.txt")),
];
