//! From a first file to every file that it uses.
//!
//! In: a [`Reader`], the only way to the outside. Out: [`Loaded`]: texts, trees
//! and what is wrong with them. A `use` is relative to the file it stands in,
//! never leaves the project's root, and each file is read once.

use crate::diagnostic::{Diagnostic, codes};
use crate::kept;
use crate::source::{FileId, Sources, Span};
use crate::syntax::{self, Tree, Value};

/// The most files that one sequence may use.
const MOST_FILES: usize = 256;
/// The longest text of one file, in bytes.
pub const LONGEST_FILE: usize = 4 * 1024 * 1024;

/// The way to files; the core itself reads none.
pub trait Reader {
    /// The bytes of a file, by its path relative to the root's folder, with `/`.
    ///
    /// # Errors
    /// A sentence that says why it cannot be read.
    fn read(&mut self, path: &str) -> Result<Vec<u8>, String>;

    /// Paths of the YAML files in `recipes/` beside the root, sorted.
    ///
    /// # Errors
    /// A sentence that says why the folder cannot be read.
    fn recipes(&mut self) -> Result<Vec<String>, String>;

    /// Paths of the day logs, the `.seam` files in `logs/` beside the root, sorted.
    ///
    /// # Errors
    /// A sentence that says why the folder cannot be read.
    fn logs(&mut self) -> Result<Vec<String>, String> {
        Ok(Vec::new())
    }

    /// The bytes of the plan file by its path, where there is such a file.
    ///
    /// # Errors
    /// A sentence that says why it cannot be read.
    fn plan(&mut self, _path: &str) -> Result<Option<Vec<u8>>, String> {
        Ok(None)
    }
}

/// Every file of a sequence, read and parsed.
#[derive(Debug, Default)]
pub struct Loaded {
    /// The texts.
    pub sources: Sources,
    /// The trees, each after those of the files that it uses.
    pub trees: Vec<Tree>,
    /// The project's own recipes.
    pub recipes: Vec<FileId>,
    /// The day logs, by name of the file.
    pub logs: Vec<Tree>,
    /// The plan file, where there is one that can be read.
    pub plan: Option<FileId>,
    /// Whether only the pins of the plan file hold, and the plan is made as if none had been kept.
    pub afresh: bool,
    /// What is wrong so far.
    pub diagnostics: Vec<Diagnostic>,
}

/// Reads a sequence from its first file.
///
/// # Errors
/// Only when the first file itself cannot be read.
pub fn load(reader: &mut dyn Reader, root: &str) -> Result<Loaded, String> {
    let bytes = reader.read(root)?;
    let mut loading = Loading { reader, loaded: Loaded::default(), seen: Vec::new(), open: Vec::new() };
    loading.file(root, bytes, None);
    match loading.reader.recipes() {
        Ok(paths) => {
            for path in paths {
                let bytes = loading.reader.read(&path);
                loading.recipe(&path, bytes);
            }
        }
        Err(why) => loading.loaded.diagnostics.push(Diagnostic::new(codes::FILE, None, why)),
    }
    match loading.reader.logs() {
        Ok(paths) => {
            for path in paths {
                let bytes = loading.reader.read(&path);
                loading.log(&path, bytes);
            }
        }
        Err(why) => loading.loaded.diagnostics.push(Diagnostic::new(codes::FILE, None, why)),
    }
    let path = kept::file_name(root);
    if let Some(bytes) = loading.reader.plan(&path).transpose() {
        let (file, readable) = loading.beside(&path, bytes);
        loading.loaded.plan = readable.then_some(file);
    }
    Ok(loading.loaded)
}

struct Loading<'a> {
    reader: &'a mut dyn Reader,
    loaded: Loaded,
    /// Every file that was begun.
    seen: Vec<String>,
    /// Files whose uses are being read, with the line that asked for each.
    open: Vec<(String, Option<Span>)>,
}

impl Loading<'_> {
    fn file(&mut self, path: &str, bytes: Vec<u8>, asked: Option<Span>) {
        self.seen.push(path.to_owned());
        let (text, wrong) = decode(bytes);
        let file = self.loaded.sources.add(path, text);
        if let Some((message, help)) = wrong {
            let span = asked.unwrap_or(Span { file, start: 0, end: 0 });
            self.loaded.diagnostics.push(
                Diagnostic::new(codes::FILE, span, format!("'{path}' {message}"))
                    .label("not readable as text")
                    .help(help),
            );
            return;
        }
        let tree = syntax::parse(&self.loaded.sources, file, &mut self.loaded.diagnostics);
        self.open.push((path.to_owned(), asked));
        let uses: Vec<(String, Span)> = tree
            .statements()
            .filter(|statement| statement.word.value == "use" && !statement.broken)
            .filter_map(|statement| match statement.values.first() {
                Some(value) => match &value.value {
                    Value::Text(text) => Some((text.clone(), value.span)),
                    _ => None,
                },
                None => None,
            })
            .collect();
        for (target, span) in uses {
            self.follow(path, &target, span);
        }
        self.open.pop();
        self.loaded.trees.push(tree);
    }

    fn follow(&mut self, from: &str, target: &str, span: Span) {
        let Some(path) = resolve(from, target) else {
            self.loaded.diagnostics.push(
                Diagnostic::new(codes::OUTSIDE, span, format!("'{target}' is outside the project"))
                    .label("a file may be used only from the first file's folder and those inside it")
                    .help("copy the file into the project, and use it from there"),
            );
            return;
        };
        if let Some(at) = self.open.iter().position(|(open, _)| *open == path) {
            let mut wrong =
                Diagnostic::new(codes::CYCLE, span, self.circle(at, &path)).label("closes the circle");
            for (open, asked) in self.open.iter().skip(at) {
                if let Some(asked) = asked {
                    wrong = wrong.other(*asked, format!("brings in '{open}'"));
                }
            }
            self.loaded
                .diagnostics
                .push(wrong.help("remove one of these uses; what both need goes into a third file"));
            return;
        }
        if self.seen.contains(&path) {
            return;
        }
        if self.seen.len() >= MOST_FILES {
            self.loaded.diagnostics.push(
                Diagnostic::new(codes::FILE, span, format!("a sequence may use at most {MOST_FILES} files"))
                    .label("one too many"),
            );
            return;
        }
        match self.reader.read(&path) {
            Ok(bytes) => self.file(&path, bytes, Some(span)),
            Err(why) => {
                self.seen.push(path.clone());
                self.loaded.diagnostics.push(
                    Diagnostic::new(codes::FILE, span, format!("'{path}' cannot be read: {why}"))
                        .label("not readable")
                        .help("the path is relative to the file that this line stands in"),
                );
            }
        }
    }

    fn circle(&self, at: usize, path: &str) -> String {
        let mut chain: Vec<&str> = self.open.iter().skip(at).map(|(open, _)| open.as_str()).collect();
        chain.push(path);
        format!("these files use each other: {}", chain.join(" → "))
    }

    fn recipe(&mut self, path: &str, bytes: Result<Vec<u8>, String>) {
        if let (file, true) = self.beside(path, bytes) {
            self.loaded.recipes.push(file);
        }
    }

    fn log(&mut self, path: &str, bytes: Result<Vec<u8>, String>) {
        let (file, readable) = self.beside(path, bytes);
        let tree = match readable {
            true => syntax::parse(&self.loaded.sources, file, &mut self.loaded.diagnostics),
            false => Tree { file, items: Vec::new() },
        };
        self.loaded.logs.push(tree);
    }

    /// A file that lies beside the sequence, not asked for by any line, and whether it can be read.
    fn beside(&mut self, path: &str, bytes: Result<Vec<u8>, String>) -> (FileId, bool) {
        let (text, wrong) = match bytes {
            Ok(bytes) => decode(bytes),
            Err(why) => (
                String::new(),
                Some((format!("cannot be read: {why}"), "mend or remove the file".to_owned())),
            ),
        };
        let file = self.loaded.sources.add(path, text);
        let Some((message, help)) = wrong else { return (file, true) };
        self.loaded.diagnostics.push(
            Diagnostic::new(codes::FILE, Span { file, start: 0, end: 0 }, format!("'{path}' {message}"))
                .help(help),
        );
        (file, false)
    }
}

/// Bytes as text, or why they are none.
fn decode(bytes: Vec<u8>) -> (String, Option<(String, String)>) {
    let wrong = |message: &str, help: &str| (String::new(), Some((message.to_owned(), help.to_owned())));
    if bytes.len() > LONGEST_FILE {
        let size = bytes.len() / (1024 * 1024);
        return wrong(
            &format!("is {size} MB long; a file may have {} MB", LONGEST_FILE / (1024 * 1024)),
            "split the sequence into files and bring them in with 'use'",
        );
    }
    if matches!(bytes.as_slice(), [0xFF, 0xFE, ..] | [0xFE, 0xFF, ..]) {
        return wrong("is encoded as UTF-16", "save it as UTF-8");
    }
    if bytes.contains(&0) {
        return wrong("is not a text file", "name the file with the sequence's text");
    }
    match String::from_utf8(bytes) {
        // A byte order mark is no part of the text; blanks keep every position true.
        Ok(text) => (text.strip_prefix('\u{feff}').map(|rest| format!("   {rest}")).unwrap_or(text), None),
        Err(error) => {
            let at = error.utf8_error().valid_up_to();
            let line = error.as_bytes().iter().take(at).filter(|byte| **byte == b'\n').count() + 1;
            wrong(&format!("is not UTF-8 (line {line})"), "save it as UTF-8")
        }
    }
}

/// The path that `target` means in the file `from`; `None` when it leaves the root.
fn resolve(from: &str, target: &str) -> Option<String> {
    let drive = target.get(1..2) == Some(":");
    if target.is_empty() || target.starts_with(['/', '\\']) || drive || target.contains('\0') {
        return None;
    }
    let mut parts: Vec<&str> = from.split('/').collect();
    parts.pop();
    for part in target.split(['/', '\\']) {
        match part {
            "" | "." => {}
            ".." => {
                parts.pop()?;
            }
            part => parts.push(part),
        }
    }
    Some(parts.join("/")).filter(|path| !path.is_empty())
}

#[cfg(test)]
mod tests {
    use super::resolve;

    #[test]
    fn a_use_is_relative_to_its_own_file_and_stays_inside() {
        assert_eq!(resolve("main.seam", "kit.seam").as_deref(), Some("kit.seam"));
        assert_eq!(resolve("parts/a.seam", "../kit/b.seam").as_deref(), Some("kit/b.seam"));
        assert_eq!(resolve("main.seam", "../secret.seam"), None);
        assert_eq!(resolve("parts/a.seam", "../../secret.seam"), None);
        assert_eq!(resolve("main.seam", "/etc/hosts"), None);
    }
}
