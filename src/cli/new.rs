//! `new`: a small sequence to begin with.

use super::console::{reason, shown};
use super::{Exit, Trouble, console};
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Write a small sequence to begin with
///
/// The folder must be new or empty; nothing is ever overwritten. What is written
/// builds without a warning: change it line by line into your own.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The folder to write into; its last part becomes the sequence's name
    dir: PathBuf,
}

const SEQUENCE: &str = include_str!("../../templates/starter/sequence.seam");
const KIT: &str = include_str!("../../templates/starter/kit.seam");

/// Writes.
pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let dir = &args.dir;
    let refused = |why: &str| Trouble::new(format!("nothing was written into '{}': {why}", shown(dir)));
    let made = make(dir).map_err(|why| refused(&why))?;
    let name = match dir.canonicalize() {
        Ok(real) => name(&real.file_name().unwrap_or_default().to_string_lossy()),
        Err(error) => return Err(refused(&reason(&error))),
    };
    let first = format!("{}.seam", name.replace('_', "-"));
    let text =
        SEQUENCE.replace("sequence starter \"Starter\"", &format!("sequence {name} \"{}\"", title(&name)));
    let files = [(first.as_str(), text.as_str()), ("kit.seam", KIT)];
    let mut written: Vec<PathBuf> = Vec::new();
    for (file, text) in files {
        let path = dir.join(file);
        if let Err(error) = create(&path, text) {
            // Only what this run has made is taken back.
            for path in &written {
                let _ = fs::remove_file(path);
            }
            if made {
                let _ = fs::remove_dir(dir);
            }
            return Err(refused(&reason(&error)));
        }
        written.push(path);
    }
    let first = shown(&dir.join(&first));
    console::print(&format!(
        "wrote {first} and kit.seam beside it\n\n\
         seamster check {first}                  says what is wrong with it\n\
         seamster build {first} --out packet     writes the packet; open packet/index.html\n"
    ))?;
    Ok(Exit::Clean)
}

/// Makes the folder, or finds it empty; `true` when it was made.
fn make(dir: &Path) -> Result<bool, String> {
    match fs::read_dir(dir) {
        Ok(mut entries) => match entries.next() {
            None => Ok(false),
            Some(_) => Err("the folder is not empty".into()),
        },
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            fs::create_dir(dir).map(|()| true).map_err(|error| reason(&error))
        }
        Err(error) if error.kind() == std::io::ErrorKind::NotADirectory => Err("it is no folder".into()),
        Err(error) => Err(reason(&error)),
    }
}

fn create(path: &Path, text: &str) -> std::io::Result<()> {
    fs::File::create_new(path)?.write_all(text.as_bytes())
}

/// A name of the language from a folder's: `My Film 2` gives `my_film_2`.
fn name(folder: &str) -> String {
    let mut name = String::new();
    for letter in folder.chars() {
        if letter.is_ascii_alphanumeric() {
            name.push(letter.to_ascii_lowercase());
        } else if !name.is_empty() && !name.ends_with('_') {
            name.push('_');
        }
    }
    let name = name.trim_matches('_');
    match name.chars().next() {
        Some('a'..='z') if name != "kit" => name.to_owned(),
        Some(_) => format!("film_{name}"),
        None => "film".into(),
    }
}

/// `my_film_2` gives `My film 2`.
fn title(name: &str) -> String {
    let mut letters = name.chars();
    let first = letters.next().map(|letter| letter.to_ascii_uppercase());
    first.into_iter().chain(letters).collect::<String>().replace('_', " ")
}

#[cfg(test)]
mod tests {
    use super::{name, title};

    #[test]
    fn a_folders_name_becomes_a_name_and_a_title() {
        assert_eq!(name("My Film 2"), "my_film_2");
        assert_eq!(title("my_film_2"), "My film 2");
        assert_eq!(name("2027"), "film_2027");
        assert_eq!(name("kit"), "film_kit");
        assert_eq!(name("—"), "film");
        assert_eq!(name("\"; use \"/etc/passwd"), "use_etc_passwd");
    }
}
