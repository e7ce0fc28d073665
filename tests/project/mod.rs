//! Projects as tests read them: a folder on the disk, or one text in memory.

#![allow(
    dead_code,
    missing_docs,
    unreachable_pub,
    clippy::disallowed_methods,
    reason = "shared by several tests, each of which uses a part of it and real files"
)]

use seamster::{Compiled, Reader, compile, load};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

pub mod wild;

/// A project in a folder.
struct Folder(PathBuf);

impl Reader for Folder {
    fn read(&mut self, path: &str) -> Result<Vec<u8>, String> {
        fs::read(self.0.join(path)).map_err(|error| error.to_string())
    }

    fn recipes(&mut self) -> Result<Vec<String>, String> {
        let Ok(entries) = fs::read_dir(self.0.join("recipes")) else { return Ok(Vec::new()) };
        let names = entries.flatten().map(|entry| entry.file_name().to_string_lossy().into_owned());
        let mut paths: Vec<String> = names.map(|name| format!("recipes/{name}")).collect();
        paths.sort();
        Ok(paths)
    }

    fn logs(&mut self) -> Result<Vec<String>, String> {
        let Ok(entries) = fs::read_dir(self.0.join("logs")) else { return Ok(Vec::new()) };
        let names = entries.flatten().map(|entry| entry.file_name().to_string_lossy().into_owned());
        let mut paths: Vec<String> = names.map(|name| format!("logs/{name}")).collect();
        paths.sort();
        Ok(paths)
    }
}

/// A project in a folder, of which some files read differently.
struct Edited {
    folder: Folder,
    texts: BTreeMap<String, String>,
}

impl Reader for Edited {
    fn read(&mut self, path: &str) -> Result<Vec<u8>, String> {
        match self.texts.get(path) {
            Some(text) => Ok(text.as_bytes().to_vec()),
            None => self.folder.read(path),
        }
    }

    fn recipes(&mut self) -> Result<Vec<String>, String> {
        self.folder.recipes()
    }

    fn logs(&mut self) -> Result<Vec<String>, String> {
        let own = self.texts.keys().filter(|path| path.starts_with("logs/")).cloned();
        let mut paths: Vec<String> = self.folder.logs()?.into_iter().chain(own).collect();
        paths.sort();
        paths.dedup();
        Ok(paths)
    }

    fn plan(&mut self, path: &str) -> Result<Option<Vec<u8>>, String> {
        Ok(self.texts.get(path).map(|text| text.as_bytes().to_vec()))
    }
}

/// Words of a file, and what stands there instead. The words stand there once.
pub type Edit<'a> = (&'a str, &'a str, &'a str);

/// A copy of an example with mistakes, or mends, planted into it.
pub fn planted(name: &str, edits: &[Edit<'_>]) -> Compiled {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name);
    let mut texts: BTreeMap<String, String> = BTreeMap::new();
    for &(file, words, by) in edits {
        let text = texts
            .entry(file.to_owned())
            .or_insert_with(|| fs::read_to_string(folder.join(file)).expect("the file is there"));
        assert_eq!(text.matches(words).count(), 1, "'{words}' in {file}");
        *text = text.replace(words, by);
    }
    rewritten(name, texts)
}

/// An example of which some files read differently.
pub fn rewritten(name: &str, texts: BTreeMap<String, String>) -> Compiled {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name);
    let loaded = load(&mut Edited { folder: Folder(folder), texts }, &format!("{name}.seam"));
    compile(loaded.expect("the example is there"), &mut |_| {})
}

/// A project of one file, held in memory, and perhaps a recipe of its own.
struct OneFile<'a> {
    name: &'a str,
    text: &'a str,
    recipe: Option<&'a str>,
}

/// Where its recipe lies.
const RECIPE: &str = "recipes/own.yaml";

impl Reader for OneFile<'_> {
    fn read(&mut self, path: &str) -> Result<Vec<u8>, String> {
        match self.recipe {
            Some(recipe) if path == RECIPE => Ok(recipe.as_bytes().to_vec()),
            _ if path == self.name => Ok(self.text.as_bytes().to_vec()),
            _ => Err("no such file".to_owned()),
        }
    }

    fn recipes(&mut self) -> Result<Vec<String>, String> {
        Ok(self.recipe.map(|_| RECIPE.to_owned()).into_iter().collect())
    }
}

/// An example of the project, compiled.
pub fn example(name: &str) -> Compiled {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name);
    let loaded = load(&mut Folder(folder), &format!("{name}.seam")).expect("the example is there");
    compile(loaded, &mut |_| {})
}

/// One text, compiled under that name.
pub fn text(name: &str, text: &str) -> Compiled {
    let mut file = OneFile { name, text, recipe: None };
    compile(load(&mut file, name).expect("the text is there"), &mut |_| {})
}

/// One text with a recipe of its own, compiled.
pub fn with_recipe(text: &str, recipe: &str) -> Compiled {
    let name = "with.seam";
    let mut file = OneFile { name, text, recipe: Some(recipe) };
    compile(load(&mut file, name).expect("the text is there"), &mut |_| {})
}

/// One text with day logs beside it, by name of file.
struct Logged<'a> {
    text: &'a str,
    logs: &'a [(&'a str, &'a str)],
    plan: Option<&'a str>,
}

impl Reader for Logged<'_> {
    fn read(&mut self, path: &str) -> Result<Vec<u8>, String> {
        let log = self.logs.iter().find(|(name, _)| format!("logs/{name}") == path);
        let text = log.map(|(_, text)| *text).or((path == "page.seam").then_some(self.text));
        text.map(|text| text.as_bytes().to_vec()).ok_or_else(|| "no such file".to_owned())
    }

    fn recipes(&mut self) -> Result<Vec<String>, String> {
        Ok(Vec::new())
    }

    fn logs(&mut self) -> Result<Vec<String>, String> {
        Ok(self.logs.iter().map(|(name, _)| format!("logs/{name}")).collect())
    }

    fn plan(&mut self, path: &str) -> Result<Option<Vec<u8>>, String> {
        assert_eq!(path, "page.plan.yaml");
        Ok(self.plan.map(|text| text.as_bytes().to_vec()))
    }
}

/// One text with day logs beside it, compiled.
pub fn logged(text: &str, logs: &[(&str, &str)]) -> Compiled {
    beside(text, logs, None)
}

/// One text with day logs and a plan file beside it, compiled.
pub fn beside(text: &str, logs: &[(&str, &str)], plan: Option<&str>) -> Compiled {
    let mut files = Logged { text, logs, plan };
    compile(load(&mut files, "page.seam").expect("the text is there"), &mut |_| {})
}
