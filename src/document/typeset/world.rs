//! The closed world that the typesetter sees.

use super::{TypesetFault, assets};
use std::collections::HashMap;
use std::sync::LazyLock;
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World, WorldExt};

/// What never changes: the language's own library and the fonts.
struct Fixed {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
}

static FIXED: LazyLock<Fixed> = LazyLock::new(|| {
    let fonts: Vec<Font> =
        assets::FONTS.iter().flat_map(|bytes| Font::iter(Bytes::new(*bytes))).collect();
    Fixed {
        library: LazyHash::new(<Library as LibraryExt>::default()),
        book: LazyHash::new(FontBook::from_infos(fonts.iter().map(|font| {
            // The semibold calls itself a family of its own in the name that the typesetter reads.
            let mut info = font.info().clone();
            if info.family.starts_with(assets::SANS_FAMILY) {
                assets::SANS_FAMILY.clone_into(&mut info.family);
            }
            info
        }))),
        fonts,
    }
});

/// `json` with every character that no font inside can draw, or that an archivable PDF must not hold,
/// replaced by U+FFFD.
pub(super) fn covered(json: &str) -> String {
    let mut kept = String::with_capacity(json.len());
    let mut rest = json.chars();
    while let Some(c) = rest.next() {
        if c == '\\' {
            escaped(&mut rest, &mut kept);
        } else {
            kept.push(if drawn(c) { c } else { char::REPLACEMENT_CHARACTER });
        }
    }
    kept
}

/// Whether `c` can stand on a page.
fn drawn(c: char) -> bool {
    let private = matches!(c, '\u{e000}'..='\u{f8ff}' | '\u{f0000}'..);
    let no_text = matches!(c, '\u{7f}' | '\u{feff}' | '\u{fffe}');
    let known = || FIXED.fonts.iter().any(|font| font.info().coverage.contains(u32::from(c)));
    !private && !no_text && (c.is_ascii() || known())
}

/// Takes what follows a backslash: control characters are written so, and cannot stand on a page.
fn escaped(rest: &mut std::str::Chars<'_>, kept: &mut String) {
    match rest.next() {
        Some('u') => {
            rest.nth(3);
            kept.push(char::REPLACEMENT_CHARACTER);
        }
        Some('b' | 'f') => kept.push(char::REPLACEMENT_CHARACTER),
        Some(c) => kept.extend(['\\', c]),
        None => {}
    }
}

/// One template with its data and plots.
pub(super) struct Pages {
    main: FileId,
    sources: HashMap<FileId, Source>,
    files: HashMap<FileId, Bytes>,
}

impl Pages {
    /// A world whose main source is `text`.
    pub(super) fn new(name: &str, text: &str) -> Result<Self, TypesetFault> {
        let main = id(name)?;
        let sources = HashMap::from([(main, Source::new(main, text.to_owned()))]);
        Ok(Self { main, sources, files: HashMap::new() })
    }

    /// Adds a source that others import.
    pub(super) fn add_source(&mut self, name: &str, text: &str) -> Result<(), TypesetFault> {
        let id = id(name)?;
        self.sources.insert(id, Source::new(id, text.to_owned()));
        Ok(())
    }

    /// Adds a file that templates read.
    pub(super) fn add(&mut self, name: &str, bytes: Vec<u8>) -> Result<(), TypesetFault> {
        self.files.insert(id(name)?, Bytes::new(bytes));
        Ok(())
    }

    /// A fault in one line: place, message, hints.
    pub(super) fn describe(&self, fault: &SourceDiagnostic) -> String {
        let place =
            fault.span.id().zip(self.range(fault.span)).map_or_else(String::new, |(id, at)| {
                let name = id.vpath().get_without_slash().to_owned();
                let line = self.sources.get(&id).and_then(|s| s.lines().byte_to_line(at.start));
                line.map_or_else(|| format!("{name}: "), |line| format!("{name}:{}: ", line + 1))
            });
        let hints = fault.hints.iter().map(|hint| hint.v.as_str());
        let said: Vec<&str> = std::iter::once(fault.message.as_str()).chain(hints).collect();
        format!("{place}{}", said.join("; "))
    }
}

fn id(name: &str) -> Result<FileId, TypesetFault> {
    let path = VirtualPath::new(name)
        .map_err(|_| TypesetFault { messages: vec![format!("`{name}` cannot name a file")] })?;
    Ok(RootedPath::new(VirtualRoot::Project, path).intern())
}

fn absent(id: FileId) -> FileError {
    FileError::NotFound(id.vpath().get_without_slash().into())
}

impl World for Pages {
    fn library(&self) -> &LazyHash<Library> {
        &FIXED.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &FIXED.book
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        self.sources.get(&id).cloned().ok_or_else(|| absent(id))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.files.get(&id).cloned().ok_or_else(|| absent(id))
    }

    fn font(&self, index: usize) -> Option<Font> {
        FIXED.fonts.get(index).cloned()
    }

    /// There is no clock here.
    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
