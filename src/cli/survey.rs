//! What stands in a folder, and whether all of it is a packet as it was written.
//!
//! A packet carries a list of its files with their hashes, itself hashed, in a
//! file called [`LIST`]. Whatever is not on the list, or is no longer as it was
//! listed, belongs to somebody and is never replaced.

use super::console::{reason, shown};
use seamster::packet::Document;
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

/// The file with the list.
pub(super) const LIST: &str = "SEAMSTER";
/// Its first line.
const HEAD: &str = "seamster packet 1";
/// Files that desktops leave behind wherever a folder is looked at.
const LITTER: &[&str] = &[".DS_Store", "Thumbs.db", "desktop.ini"];
/// How deep a packet's folders are looked into; its own are two deep.
const DEEPEST: usize = 8;

/// What a packet says about itself in its list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Label {
    /// Name of the sequence.
    pub(super) sequence: String,
    /// Hash of its text.
    pub(super) text: String,
}

/// The list of a packet.
pub(super) fn list(label: &Label, documents: &[Document]) -> String {
    let mut text = format!("{HEAD}\nsequence {}\ntext {}\n", label.sequence, label.text);
    let mut lines: Vec<(&str, String)> =
        documents.iter().map(|document| (document.path.as_str(), hash(&document.bytes))).collect();
    lines.sort();
    for (path, hash) in lines {
        let _ = writeln!(text, "{hash}  {path}");
    }
    let whole = hash(text.as_bytes());
    let _ = writeln!(text, "list {whole}");
    text
}

/// SHA-256 as hexadecimal digits.
fn hash(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// What was found where a packet is to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Found {
    /// Nothing at all.
    Nothing,
    /// An empty folder.
    Empty,
    /// A packet as it was written.
    Packet,
    /// A packet with what somebody added or changed, each path with what happened to it.
    Touched(Vec<String>),
    /// A folder that holds something else.
    Foreign,
    /// No folder.
    NoFolder,
}

/// Looks at a path, without following a link that it may be.
///
/// # Errors
/// A sentence, when it cannot be looked at.
pub(super) fn survey(folder: &Path) -> Result<Found, String> {
    let failed = |error: std::io::Error| format!("'{}' cannot be read: {}", shown(folder), reason(&error));
    match fs::symlink_metadata(folder) {
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(Found::Nothing),
        Err(error) => return Err(failed(error)),
        Ok(metadata) if !metadata.is_dir() => return Ok(Found::NoFolder),
        Ok(_) => {}
    }
    if fs::read_dir(folder).map_err(failed)?.next().is_none() {
        return Ok(Found::Empty);
    }
    let regular = fs::symlink_metadata(folder.join(LIST)).is_ok_and(|metadata| metadata.is_file());
    let text = if regular { fs::read_to_string(folder.join(LIST)).ok() } else { None };
    let Some(listed) = text.as_deref().and_then(read) else { return Ok(Found::Foreign) };
    let mut touched = Vec::new();
    compare(folder, &listed, &mut touched).map_err(failed)?;
    touched.sort();
    Ok(if touched.is_empty() { Found::Packet } else { Found::Touched(touched) })
}

/// The paths and hashes of a list; `None` where it is not as it was written.
fn read(text: &str) -> Option<BTreeMap<&str, &str>> {
    let at = text.strip_suffix('\n')?.rfind('\n')? + 1;
    let (lines, whole) = text.split_at_checked(at)?;
    if whole.trim_end().strip_prefix("list ")? != hash(lines.as_bytes()) {
        return None;
    }
    let mut lines = lines.lines();
    if lines.next()? != HEAD {
        return None;
    }
    lines.skip(2).map(|line| line.split_once("  ").map(|(hash, path)| (path, hash))).collect()
}

/// Names everything in a folder that is not on the list as it is.
fn compare(folder: &Path, listed: &BTreeMap<&str, &str>, touched: &mut Vec<String>) -> std::io::Result<()> {
    let mut known: BTreeSet<&str> = BTreeSet::new();
    for path in listed.keys() {
        known.extend(path.match_indices('/').filter_map(|(at, _)| path.get(..at)));
    }
    let mut open: Vec<(PathBuf, String, usize)> = vec![(folder.to_owned(), String::new(), 0)];
    while let Some((at, below, depth)) = open.pop() {
        for entry in fs::read_dir(&at)? {
            let entry = entry?;
            let name = entry.file_name().to_string_lossy().into_owned();
            let path = format!("{below}{name}");
            let kind = entry.file_type()?;
            if kind.is_dir() && known.contains(path.as_str()) && depth < DEEPEST {
                open.push((entry.path(), format!("{path}/"), depth + 1));
            } else if !kind.is_file() {
                touched.push(format!("{path} (added)"));
            } else if let Some(hashed) = listed.get(path.as_str()) {
                if hash(&fs::read(entry.path())?) != **hashed {
                    touched.push(format!("{path} (changed)"));
                }
            } else if path != LIST && !LITTER.contains(&name.as_str()) {
                touched.push(format!("{path} (added)"));
            }
        }
    }
    Ok(())
}
