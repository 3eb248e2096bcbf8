//! XML as a spreadsheet's parts hold it: names without prefix, text with its references resolved.

use super::SheetFault;
use super::archive::{Part, TOO_LARGE};
use quick_xml::Reader;
use quick_xml::escape::resolve_predefined_entity;
use quick_xml::events::{BytesRef, BytesStart, Event};

/// What a stream of XML says next.
#[derive(Debug)]
pub(super) enum Said {
    /// An element begins.
    Open(Element),
    /// The element of this name ends.
    Close(String),
    /// Text.
    Text(String),
    /// Nothing more.
    End,
}

/// An element's name and attributes, without prefixes.
#[derive(Debug)]
pub(super) struct Element {
    pub name: String,
    attributes: Vec<(String, String)>,
}

impl Element {
    /// An attribute by its name without prefix.
    pub fn get(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(known, _)| known == name).map(|(_, value)| value.as_str())
    }

    /// A whole number of an attribute.
    pub fn number(&self, name: &str) -> Option<usize> {
        self.get(name)?.trim().parse().ok()
    }

    /// Whether an attribute is set.
    pub fn flag(&self, name: &str) -> bool {
        matches!(self.get(name), Some("1" | "true"))
    }
}

/// A part of the archive as a stream of XML.
pub(super) struct Stream<'p> {
    part: &'static str,
    reader: Reader<Part<'p>>,
    buffer: Vec<u8>,
}

impl<'p> Stream<'p> {
    /// Reads `part`, which messages call `name`.
    pub fn new(name: &'static str, part: Part<'p>) -> Self {
        let mut reader = Reader::from_reader(part);
        reader.config_mut().expand_empty_elements = true;
        Self { part: name, reader, buffer: Vec::new() }
    }

    /// What comes next. No document type is read, so no entity can be defined that unfolds into more.
    pub fn next(&mut self) -> Result<Said, SheetFault> {
        loop {
            self.buffer.clear();
            let event = self.reader.read_event_into(&mut self.buffer);
            return Ok(match event.map_err(|fault| broken(self.part, &fault.to_string()))? {
                Event::Start(start) => Said::Open(element(&start, self.part)?),
                Event::End(end) => Said::Close(end.local_name().as_ref().to_owned()),
                Event::Text(text) => Said::Text(text.xml10_content().into_owned()),
                Event::CData(text) => Said::Text(text.xml10_content().into_owned()),
                Event::GeneralRef(what) => Said::Text(resolved(&what, self.part)?),
                Event::Eof => Said::End,
                _ => continue,
            });
        }
    }

    /// The text up to the end of the element `name`, in which the stream stands; that of elements
    /// called `without` left out.
    pub fn text_of(&mut self, name: &str, without: &[&str]) -> Result<String, SheetFault> {
        let (mut text, mut depth, mut skipped) = (String::new(), 0_usize, None::<usize>);
        loop {
            match self.next()? {
                Said::Open(element) => {
                    depth += 1;
                    if skipped.is_none() && without.contains(&element.name.as_str()) {
                        skipped = Some(depth);
                    }
                }
                Said::Close(closed) if depth == 0 && closed == name => return Ok(text),
                Said::Close(_) => {
                    if skipped == Some(depth) {
                        skipped = None;
                    }
                    depth = depth.saturating_sub(1);
                }
                Said::Text(more) if skipped.is_none() => text.push_str(&more),
                Said::Text(_) => {}
                Said::End => return Err(self.cut_short()),
            }
        }
    }

    /// The fault of a part that ends too early.
    pub fn cut_short(&self) -> SheetFault {
        broken(self.part, "it ends in the middle")
    }
}

fn broken(part: &str, why: &str) -> SheetFault {
    if why.contains(TOO_LARGE) {
        SheetFault::Bomb(part.to_owned())
    } else {
        SheetFault::Broken(format!("{part}: {why}"))
    }
}

fn element(start: &BytesStart, part: &str) -> Result<Element, SheetFault> {
    let mut attributes = Vec::new();
    for attribute in start.attributes().with_checks(false) {
        let attribute = attribute.map_err(|fault| broken(part, &fault.to_string()))?;
        let value = quick_xml::escape::unescape(&attribute.value)
            .map_err(|fault| broken(part, &fault.to_string()))?;
        attributes.push((attribute.key.local_name().as_ref().to_owned(), value.into_owned()));
    }
    Ok(Element { name: start.local_name().as_ref().to_owned(), attributes })
}

fn resolved(what: &BytesRef, part: &str) -> Result<String, SheetFault> {
    if let Some(known) = resolve_predefined_entity(what.as_ref()) {
        return Ok(known.to_owned());
    }
    match what.resolve_char_ref() {
        Ok(Some(c)) => Ok(c.to_string()),
        _ => Err(broken(part, "it refers to an entity that is not defined")),
    }
}
