//! A workbook's file: a ZIP archive of XML parts, read as streams.
//!
//! Invariants: every byte that is unfolded, of whatever part, is counted before it is used, so that
//! no declared size is believed; one piece of XML and its nesting are bounded, since the reader holds
//! them whole; an entity that XML itself does not define is refused, so that no
//! text can grow. Absent: what the parts mean.
//!
//! # Source
//! ECMA-376 part 2 (Open Packaging Conventions), from memory; [MS-CFB] section 2.2 for the signature
//! of files behind a password, from memory.

use crate::sheet::{Limits, SheetError};
use quick_xml::{
    Reader,
    escape::resolve_predefined_entity,
    events::{BytesRef, BytesStart, Event},
};
use std::{
    borrow::Cow,
    io::{self, BufReader, Cursor, Read},
};
use zip::{ZipArchive, read::ZipFile, result::ZipError};

/// How a file begins that is encrypted, or older than XLSX.
const COMPOUND_FILE: [u8; 8] = [0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1];

/// Most bytes of one mark, or of one text between two: more than a cell can hold.
const PIECE_BYTES: usize = TEXT_BYTES;

/// Most bytes of a cell's text as a file writes it. A cell holds 32,767 characters (common practice of
/// spreadsheets, from memory), of which each may be written as an escape of seven bytes.
pub(super) const TEXT_BYTES: usize = 256 * 1024;

/// Why longer ones are refused.
pub(super) const TOO_LONG: &str = "a text in it is longer than a cell can hold";

/// Deepest nesting of elements.
const DEPTH: usize = 100;

/// The refusal of a workbook that its own parts contradict.
pub(super) const fn damaged(why: &'static str) -> SheetError {
    SheetError::NotXlsx { why }
}

/// An archive, and how much of it may still be unfolded.
pub(super) struct Package<'a> {
    archive: ZipArchive<Cursor<&'a [u8]>>,
    left: u64,
    limit: u64,
}

impl<'a> Package<'a> {
    pub(super) fn open(bytes: &'a [u8], limits: &Limits) -> Result<Self, SheetError> {
        if bytes.starts_with(&COMPOUND_FILE) {
            return Err(SheetError::Locked);
        }
        let archive = ZipArchive::new(Cursor::new(bytes))
            .map_err(|_| damaged("it is no ZIP archive, or a part of it is missing"))?;
        Ok(Self {
            archive,
            left: limits.unfolded_bytes,
            limit: limits.unfolded_bytes,
        })
    }

    /// A part by its path; none where it is not there.
    pub(super) fn part(&mut self, path: &str) -> Result<Option<Part<'_, 'a>>, SheetError> {
        let file = match self.archive.by_name(path) {
            Ok(file) => file,
            Err(ZipError::FileNotFound) => return Ok(None),
            Err(_) => return Err(damaged("a part of it is damaged or encrypted")),
        };
        let left = &mut self.left;
        let counted = Counted {
            file,
            left,
            of_piece: PIECE_BYTES,
        };
        let mut xml = Reader::from_reader(BufReader::new(counted));
        xml.config_mut().expand_empty_elements = true;
        Ok(Some(Part {
            xml,
            buffer: Vec::new(),
            depth: 0,
            limit: self.limit,
        }))
    }
}

/// A part's bytes, each taken from what may still be unfolded.
struct Counted<'p, 'a> {
    file: ZipFile<'p, Cursor<&'a [u8]>>,
    left: &'p mut u64,
    /// What the present piece of XML may still take.
    of_piece: usize,
}

impl Read for Counted<'_, '_> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let read = self.file.read(buffer)?;
        match self.left.checked_sub(read as u64) {
            Some(left) => *self.left = left,
            None => return Err(io::ErrorKind::FileTooLarge.into()),
        }
        let of_piece = self.of_piece.checked_sub(read);
        self.of_piece = of_piece.ok_or(io::ErrorKind::InvalidData)?;
        Ok(read)
    }
}

/// One XML part.
pub(super) struct Part<'p, 'a> {
    xml: Reader<BufReader<Counted<'p, 'a>>>,
    buffer: Vec<u8>,
    depth: usize,
    limit: u64,
}

impl Part<'_, '_> {
    /// The next event; an element without content opens and closes.
    pub(super) fn next(&mut self) -> Result<Event<'_>, SheetError> {
        self.buffer.clear();
        self.xml.get_mut().get_mut().of_piece = PIECE_BYTES;
        let read = self.xml.read_event_into(&mut self.buffer);
        let event = read.map_err(|error| refuse(&error, self.limit))?;
        match event {
            Event::Start(_) => self.depth += 1,
            Event::End(_) => self.depth = self.depth.saturating_sub(1),
            _ => {}
        }
        if self.depth > DEPTH {
            return Err(damaged("its elements are nested too deep"));
        }
        Ok(event)
    }

    /// Calls `each` with every element that opens.
    pub(super) fn each_element(
        &mut self,
        mut each: impl FnMut(&BytesStart<'_>) -> Result<(), SheetError>,
    ) -> Result<(), SheetError> {
        loop {
            match self.next()? {
                Event::Start(element) => each(&element)?,
                Event::Eof => return Ok(()),
                _ => {}
            }
        }
    }
}

fn refuse(error: &quick_xml::Error, limit: u64) -> SheetError {
    let kind = match error {
        quick_xml::Error::Io(error) => Some(error.kind()),
        _ => None,
    };
    match kind {
        Some(io::ErrorKind::FileTooLarge) => SheetError::TooLarge { limit },
        Some(io::ErrorKind::InvalidData) => damaged(TOO_LONG),
        _ => damaged("the XML in it is damaged"),
    }
}

/// An attribute of an element, by its name without a prefix.
pub(super) fn attribute(
    element: &BytesStart<'_>,
    name: &str,
) -> Result<Option<String>, SheetError> {
    // Looking for doubles would compare each with each.
    let mut attributes = element.attributes();
    for attribute in attributes.with_checks(false) {
        let attribute = attribute.map_err(|_| damaged("the XML in it is damaged"))?;
        if attribute.key.local_name().as_ref() == name {
            let value = attribute.normalized_value(quick_xml::XmlVersion::Implicit1_0);
            let value = value.map_err(|_| damaged("the XML in it is damaged"))?;
            return Ok(Some(value.into_owned()));
        }
    }
    Ok(None)
}

/// The text of an event, where it is text.
pub(super) fn text<'e>(event: &'e Event<'_>) -> Result<Option<Cow<'e, str>>, SheetError> {
    Ok(match event {
        Event::Text(text) => Some(text.xml10_content()),
        Event::CData(text) => Some(text.xml10_content()),
        Event::GeneralRef(entity) => Some(resolved(entity)?),
        _ => None,
    })
}

fn resolved(entity: &BytesRef<'_>) -> Result<Cow<'static, str>, SheetError> {
    const WHY: &str = "an entity in it is not defined";
    if entity.is_char_ref() {
        let character = entity.resolve_char_ref().map_err(|_| damaged(WHY))?;
        return character
            .map(|one| Cow::Owned(one.to_string()))
            .ok_or(damaged(WHY));
    }
    let name = entity.xml10_content();
    resolve_predefined_entity(&name)
        .map(Cow::Borrowed)
        .ok_or(damaged(WHY))
}
