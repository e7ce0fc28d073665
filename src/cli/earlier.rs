//! The packet that was handed out before, to mark what changed since.
//!
//! In: a folder that Seamster wrote, or a revision of git. Out: [`Earlier`].

use super::Trouble;
use super::compare::Version;
use super::console::{reason, shown};
use super::reader::regular;
use seamster::order::Effort;
use seamster::packet::Document;
use seamster::packet::views::Head;
use seamster::revise::{self, Since};
use seamster::source::Sources;
use std::fs;
use std::path::Path;

/// The most pages that are read of an earlier packet.
const MOST: usize = 100_000;

/// What `--since` takes.
const WANTED: &str = "name the folder of an earlier packet, or a revision of git such as HEAD~1";

/// Pages of an earlier packet.
pub(super) struct Earlier {
    documents: Vec<Document>,
    version: String,
    label: String,
}

impl Earlier {
    /// A folder with a packet of that name, else a revision of git.
    ///
    /// # Errors
    /// When it is neither, or cannot be read.
    pub(super) fn find(file: &Path, since: &str, effort: Effort) -> Result<Self, Trouble> {
        let folder = Path::new(since);
        if folder.is_dir() {
            return Self::in_folder(folder);
        }
        let version = Version::at(file, since, effort).map_err(|trouble| trouble.help(WANTED))?;
        let (packet, documents) = version.papers()?;
        Ok(Self { documents, version: packet.head.version, label: since.to_owned() })
    }

    fn in_folder(folder: &Path) -> Result<Self, Trouble> {
        let wrong = |why: String| {
            Trouble::new(format!("'{}' is no packet that can be read: {why}", shown(folder))).help(WANTED)
        };
        let bytes =
            regular(&folder.join("packet.json")).map_err(|why| wrong(format!("packet.json: {why}")))?;
        let value: serde_json::Value =
            serde_json::from_slice(&bytes).map_err(|_| wrong("packet.json is not JSON".to_owned()))?;
        let word = |key: &str| value.pointer(key).and_then(serde_json::Value::as_str).map(str::to_owned);
        let version = word("/head/version").ok_or_else(|| wrong("packet.json names no text".to_owned()))?;
        let mut documents = Vec::new();
        pages(folder, "", &mut documents).map_err(wrong)?;
        Ok(Self { documents, version, label: word("/head/label").unwrap_or_default() })
    }

    /// The pages with their signs.
    pub(super) fn mark(&self, documents: Vec<Document>, head: &Head, sources: &Sources) -> Vec<Document> {
        let label =
            if self.label.is_empty() { String::new() } else { format!(", revision “{}”", self.label) };
        let moving = [
            format!("{}{label}", self.version),
            format!("{}, revision “{}”", head.version, head.label),
            self.version.clone(),
            head.version.clone(),
        ];
        let name = format!("text {}{label}", self.version);
        let files: Vec<String> = sources.files().iter().map(|file| file.name.clone()).collect();
        let since = Since { documents: &self.documents, name: &name, moving: &moving, files: &files };
        revise::mark(documents, &since)
    }
}

/// Every page below a folder; packets are two deep, so links that lead round end too.
fn pages(folder: &Path, below: &str, found: &mut Vec<Document>) -> Result<(), String> {
    for entry in fs::read_dir(folder).map_err(|error| reason(&error))? {
        let entry = entry.map_err(|error| reason(&error))?;
        let Ok(name) = entry.file_name().into_string() else { continue };
        let path = format!("{below}{name}");
        if entry.path().is_dir() {
            if below.is_empty() {
                pages(&entry.path(), &format!("{name}/"), found)?;
            }
        } else if (name.ends_with(".html") || name.ends_with(".md")) && found.len() < MOST {
            found.push(Document { path, bytes: regular(&entry.path())? });
        }
    }
    Ok(())
}
