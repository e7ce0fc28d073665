//! Standard output and standard error. Styles are taken out where the stream is
//! no terminal or `NO_COLOR` is set.

use super::Trouble;
use seamster::diagnostic::text::plain;
use std::io::{ErrorKind, Write};
use std::path::Path;

/// Prints a command's result. A reader that has gone away is no trouble.
///
/// # Errors
/// When the text cannot be written, as on a full disk.
pub(super) fn print(text: &str) -> Result<(), Trouble> {
    let mut out = anstream::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            Err(Trouble::new(format!("standard output cannot be written: {}", reason(&error))))
        }
        _ => Ok(()),
    }
}

/// Tells something beside the result; where that cannot be told, nothing can be done.
pub(super) fn tell(text: &str) {
    let _ = anstream::stderr().lock().write_all(text.as_bytes());
}

/// Says what kept a command from its work.
pub(super) fn complain(trouble: &Trouble) {
    let bold = "\u{1b}[1m\u{1b}[91m";
    tell(&format!("{bold}error\u{1b}[0m: {}\n", plain(&trouble.message)));
    if let Some(help) = &trouble.help {
        tell(&format!("\u{1b}[1mhelp\u{1b}[0m: {}\n", plain(help)));
    }
}

/// A path for people, without anything that steers a terminal.
pub(super) fn shown(path: &Path) -> String {
    plain(&path.to_string_lossy()).into_owned()
}

/// Why input or output failed, in words that are the same on every system where possible.
pub(super) fn reason(error: &std::io::Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder".into(),
        ErrorKind::PermissionDenied => "permission denied".into(),
        ErrorKind::StorageFull => "the disk is full".into(),
        ErrorKind::ReadOnlyFilesystem => "the disk is read-only".into(),
        ErrorKind::AlreadyExists => "it exists already".into(),
        ErrorKind::NotADirectory => "a part of the path is no folder".into(),
        ErrorKind::InvalidFilename => "the name is not allowed there".into(),
        _ => error.to_string(),
    }
}
