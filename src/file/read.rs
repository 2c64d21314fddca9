//! Reading: bytes to text within limits, text to a layout whose references all lead somewhere.

use std::fs::{File, Metadata};
use std::io::{ErrorKind, Read};
use std::path::Path;

use serde::de::DeserializeOwned;

use super::fault::{Place, ReadError};
use super::head::head;
use super::limits::{LARGEST_FILE, excess};
use super::locate::locate;
use super::plain;
use super::stamp::Stamp;
use super::stranger;
use super::versions::{self, Misread};
use crate::layout::Layout;

pub(super) const BYTE_ORDER_MARK: &str = "\u{feff}";

/// Reads a layout from a file.
///
/// # Errors
/// [`ReadError`]: what is wrong, where, and what to do.
pub fn read(path: &Path) -> Result<Layout, ReadError> {
    let name = path.display().to_string();
    let (bytes, _) = bytes_of(path, &name)?;
    parse(text_of_layout(&name, &bytes)?, &name)
}

/// Reads a layout from a file, and takes the file's stamp and the comments at its head.
///
/// # Errors
/// As [`read`].
pub fn read_stamped(path: &Path) -> Result<(Layout, Stamp, String), ReadError> {
    let name = path.display().to_string();
    let (bytes, metadata) = bytes_of(path, &name)?;
    let stamp = Stamp::new(&metadata, &bytes);
    let text = text_of_layout(&name, &bytes)?;
    let head = head(text.strip_prefix(BYTE_ORDER_MARK).unwrap_or(text)).to_owned();
    Ok((parse(text, &name)?, stamp, head))
}

/// Reads the text of a file that is no layout, held to the same limit.
///
/// # Errors
/// As [`read`].
pub fn read_text(path: &Path) -> Result<String, ReadError> {
    let name = path.display().to_string();
    let (bytes, _) = bytes_of(path, &name)?;
    let text = as_text(&name, &bytes)?;
    Ok(text.strip_prefix(BYTE_ORDER_MARK).unwrap_or(text).to_owned())
}

/// Reads something other than a layout from RON text, with the same messages; `name` stands for the file in them.
///
/// # Errors
/// As [`read`].
pub fn parse_ron<T: DeserializeOwned>(text: &str, name: &str) -> Result<T, ReadError> {
    if text.trim().is_empty() {
        return Err(ReadError::Empty { file: name.to_owned() });
    }
    versions::options().from_str(text).map_err(|error| plain::fault(&error, text, name))
}

/// Reads a layout from text; `name` stands for the file in messages.
///
/// # Errors
/// [`ReadError`]: what is wrong, where, and what to do.
pub fn parse(text: &str, name: &str) -> Result<Layout, ReadError> {
    let text = text.strip_prefix(BYTE_ORDER_MARK).unwrap_or(text);
    if text.trim().is_empty() {
        return Err(ReadError::Empty { file: name.to_owned() });
    }
    let layout = versions::parse(text).map_err(|misread| match misread {
        Misread::Ron(error) => stranger::named(plain::fault(&error, text, name), text.as_bytes(), name),
        Misread::Format(found) => ReadError::Format { place: plain::format_place(text, name), found },
    })?;
    if let Some(excess) = excess(&layout) {
        let (things, there_are, at_most) = (excess.things, excess.there_are, excess.at_most);
        return Err(ReadError::TooMuch { file: name.to_owned(), things, there_are, at_most });
    }
    let mut broken = layout.broken_references().into_iter();
    match broken.next() {
        None => Ok(layout),
        Some(first) => {
            let place = match locate(&first, text) {
                Some(bytes) => Place::of(name, text, bytes),
                None => Place::whole(name),
            };
            Err(ReadError::Reference { place, broken: first, more: broken.len() })
        }
    }
}

/// The bytes of a file that is not too large. Its size is looked at before it is read, and held to while it is.
fn bytes_of(path: &Path, name: &str) -> Result<(Vec<u8>, Metadata), ReadError> {
    let file = || name.to_owned();
    let unreadable = |cause: std::io::Error| match cause.kind() {
        ErrorKind::NotFound => ReadError::NotFound { file: file() },
        _ => ReadError::Unreadable { file: file(), cause },
    };
    // A pipe would block as soon as it is opened, so it is looked at first.
    let metadata = std::fs::metadata(path).map_err(unreadable)?;
    if !metadata.is_file() {
        return Err(ReadError::NotAFile { file: file() });
    }
    if metadata.len() > LARGEST_FILE {
        return Err(ReadError::TooLarge { file: file(), bytes: metadata.len() });
    }
    let mut bytes = Vec::new();
    let opened = File::open(path).map_err(unreadable)?;
    opened.take(LARGEST_FILE + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(ReadError::TooLarge { file: file(), bytes: bytes.len() as u64 });
    }
    Ok((bytes, metadata))
}

/// The text of a file that should be a layout.
fn text_of_layout<'a>(name: &str, bytes: &'a [u8]) -> Result<&'a str, ReadError> {
    as_text(name, bytes).map_err(|error| stranger::named(error, bytes, name))
}

fn as_text<'a>(name: &str, bytes: &'a [u8]) -> Result<&'a str, ReadError> {
    std::str::from_utf8(bytes).map_err(|error| not_text(name, bytes, error.valid_up_to()))
}

fn not_text(name: &str, bytes: &[u8], valid_up_to: usize) -> ReadError {
    let shown = String::from_utf8_lossy(&bytes[valid_up_to..bytes.len().min(valid_up_to + 1)]);
    let text = format!("{}{shown}", String::from_utf8_lossy(&bytes[..valid_up_to]));
    ReadError::NotText { place: Place::of(name, &text, valid_up_to..text.len()) }
}
