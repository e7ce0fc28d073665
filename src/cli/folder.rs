//! Writes a packet's folder, whole or not at all.
//!
//! In: every document in memory, and where to put them. Out: the folder, or
//! trouble and everything as it was. The new folder is written beside the old
//! one and takes its place by renaming; what somebody else made is left alone.

use super::Trouble;
use super::console::{reason, shown};
use super::survey::{Found, LIST, list, survey};
use seamster::packet::Document;
use std::collections::BTreeSet;
use std::ffi::OsString;
use std::fs;
use std::path::{Component, Path, PathBuf};

pub(super) use super::survey::Label;

/// How many touched files are named.
const NAMED: usize = 5;
const ELSEWHERE: &str = "move it elsewhere or choose another folder";

/// Writes the folder.
///
/// # Errors
/// When it is the project's own folder or one around it, holds something that
/// Seamster did not write, or cannot be written. Nothing has then changed.
pub(super) fn write(
    out: &Path,
    project: &Path,
    label: &Label,
    documents: &[Document],
) -> Result<(), Trouble> {
    let target = target(out)?;
    let inside = project
        .canonicalize()
        .map_err(|error| Trouble::new(format!("'{}' cannot be read: {}", shown(project), reason(&error))))?;
    if inside.starts_with(&target) {
        return Err(
            refused(out, "the sequence lies in it").help("choose a folder of its own, such as 'packet'")
        );
    }
    let replaces = may_replace(out, &target)?;
    let fresh = beside(&target, "new")?;
    if let Err(trouble) = fill(&fresh, label, documents) {
        discard(&fresh);
        return Err(refused(out, &trouble));
    }
    swap(out, &target, &fresh, replaces)
}

fn refused(out: &Path, why: &str) -> Trouble {
    Trouble::new(format!("the packet cannot be written into '{}': {why}", shown(out)))
}

/// Where the folder really is: links resolved, its parent known to exist.
fn target(out: &Path) -> Result<PathBuf, Trouble> {
    if fs::symlink_metadata(out).is_ok() {
        return out.canonicalize().map_err(|error| match error.kind() {
            std::io::ErrorKind::NotFound => refused(out, "it is a link that leads nowhere"),
            _ => refused(out, &reason(&error)),
        });
    }
    let Some(Component::Normal(name)) = out.components().next_back() else {
        return Err(refused(out, "it has no name").help("name a folder, such as 'packet'"));
    };
    let parent = match out.parent() {
        Some(parent) if parent != Path::new("") => parent,
        _ => Path::new("."),
    };
    let real = parent.canonicalize().map_err(|error| match error.kind() {
        std::io::ErrorKind::NotFound => refused(out, &format!("there is no folder '{}'", shown(parent)))
            .help("make that folder first, or choose another"),
        _ => refused(out, &reason(&error)),
    })?;
    Ok(real.join(name))
}

/// Whether something stands there that may be replaced.
fn may_replace(out: &Path, target: &Path) -> Result<bool, Trouble> {
    match survey(target).map_err(|why| refused(out, &why))? {
        Found::Nothing => Ok(false),
        Found::Empty | Found::Packet => Ok(true),
        Found::NoFolder => Err(refused(out, "it is no folder").help("choose another name")),
        Found::Foreign => Err(refused(out, "it holds something that Seamster did not write").help(ELSEWHERE)),
        Found::Touched(paths) => {
            let named = paths.iter().take(NAMED).cloned().collect::<Vec<_>>().join(", ");
            let more = match paths.len().saturating_sub(NAMED) {
                0 => String::new(),
                more => format!(" and {more} more"),
            };
            let why = format!("somebody has changed what is in it: {named}{more}");
            Err(refused(out, &why).help(ELSEWHERE))
        }
    }
}

/// A name beside the target that nothing has: `.packet.seamster-new-4711`.
fn beside(target: &Path, kind: &str) -> Result<PathBuf, Trouble> {
    let name = target.file_name().ok_or_else(|| refused(target, "it has no name"))?;
    let process = std::process::id();
    for count in 0..100u32 {
        let mut own = OsString::from(".");
        own.push(name);
        own.push(format!(".seamster-{kind}-{process}"));
        if count > 0 {
            own.push(format!("-{count}"));
        }
        let path = target.with_file_name(own);
        if fs::symlink_metadata(&path).is_err() {
            return Ok(path);
        }
    }
    Err(refused(target, "its neighbours' names are all taken"))
}

/// Writes every document, and the list of them, into a new folder.
fn fill(folder: &Path, label: &Label, documents: &[Document]) -> Result<(), String> {
    let failed = |path: &Path, error: std::io::Error| format!("{}: {}", shown(path), reason(&error));
    let parent = folder.parent().unwrap_or(folder);
    fs::create_dir(folder).map_err(|error| failed(parent, error))?;
    let mut names: BTreeSet<String> = BTreeSet::from([LIST.to_lowercase()]);
    for document in documents {
        let relative = Path::new(&document.path);
        let plain = relative.components().all(|part| matches!(part, Component::Normal(_)));
        if !plain || !names.insert(document.path.to_lowercase()) {
            return Err(format!("two documents would be called '{}', or it is no name", document.path));
        }
        let path = folder.join(relative);
        if let Some(parent) = path.parent() {
            fs::create_dir_all(parent).map_err(|error| failed(parent, error))?;
        }
        fs::write(&path, &document.bytes).map_err(|error| failed(&path, error))?;
    }
    let path = folder.join(LIST);
    fs::write(&path, list(label, documents)).map_err(|error| failed(&path, error))
}

/// Puts the new folder in the place of the old one.
fn swap(out: &Path, target: &Path, fresh: &Path, replaces: bool) -> Result<(), Trouble> {
    let give_up = |error: std::io::Error| {
        discard(fresh);
        refused(out, &reason(&error))
    };
    if !replaces {
        return fs::rename(fresh, target).map_err(give_up);
    }
    let old = beside(target, "old").inspect_err(|_| discard(fresh))?;
    fs::rename(target, &old).map_err(give_up)?;
    if let Err(error) = fs::rename(fresh, target) {
        discard(fresh);
        let why = reason(&error);
        return Err(match fs::rename(&old, target) {
            Ok(()) => refused(out, &why),
            Err(_) => refused(out, &why).help(format!("the former packet is now '{}'", shown(&old))),
        });
    }
    // Somebody may have changed the old folder since it was looked at.
    match survey(&old) {
        Ok(Found::Empty | Found::Packet) => {
            discard(&old);
            Ok(())
        }
        _ => Err(Trouble::new(format!(
            "the packet was written, but the former one was being changed and is now '{}'",
            shown(&old)
        ))),
    }
}

/// Removes a folder that this command has made or replaced. One that cannot be
/// removed is hidden beside the packet and hurts nothing.
fn discard(folder: &Path) {
    let _ = fs::remove_dir_all(folder);
}

#[cfg(test)]
mod tests;
