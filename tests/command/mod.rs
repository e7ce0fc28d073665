//! The command as somebody types it, and folders to type it in.

#![allow(
    dead_code,
    missing_docs,
    unreachable_pub,
    clippy::disallowed_methods,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::unwrap_used,
    reason = "shared by several tests, each of which uses a part of it and real files"
)]

use std::fs;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// No run of these tests takes a tenth as long; one that does hangs.
const LONGEST: Duration = Duration::from_secs(120);

/// A folder of one test's own, gone after it.
pub struct Room(PathBuf);

impl Room {
    pub fn new(name: &str) -> Room {
        let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{}-{name}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).unwrap();
        Room(path)
    }

    /// A room with the small sequence of `seamster new`, in `film/`.
    pub fn with_film(name: &str) -> Room {
        let room = Room::new(name);
        assert_eq!(room.run(&["new", "film"]).code, 0);
        room
    }

    pub fn path(&self, below: &str) -> PathBuf {
        self.0.join(below)
    }

    pub fn write(&self, below: &str, bytes: impl AsRef<[u8]>) {
        let path = self.path(below);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }

    pub fn read(&self, below: &str) -> String {
        fs::read_to_string(self.path(below)).unwrap()
    }

    /// Replaces words of a file; they must stand in it exactly once.
    pub fn edit(&self, below: &str, words: &str, by: &str) {
        let text = self.read(below);
        assert_eq!(text.matches(words).count(), 1, "'{words}' in {below}");
        self.write(below, text.replace(words, by));
    }

    /// The line, from 1, on which words stand for the first time.
    pub fn line(&self, below: &str, words: &str) -> u64 {
        let text = self.read(below);
        text.lines().position(|line| line.contains(words)).unwrap_or_else(|| panic!("'{words}' in {below}"))
            as u64
            + 1
    }

    /// Everything in it with its bytes, hidden things too; links are not followed.
    pub fn tree(&self, below: &str) -> Vec<(String, Vec<u8>)> {
        let mut found = Vec::new();
        let mut open = vec![self.path(below)];
        while let Some(at) = open.pop() {
            for entry in fs::read_dir(&at).unwrap() {
                let path = entry.unwrap().path();
                let name = path.strip_prefix(&self.0).unwrap().to_string_lossy().replace('\\', "/");
                if path.is_dir() && !path.is_symlink() {
                    open.push(path);
                    found.push((name + "/", Vec::new()));
                } else {
                    found.push((name, fs::read(&path).unwrap_or_default()));
                }
            }
        }
        found.sort();
        found
    }

    pub fn run(&self, args: &[&str]) -> Ran {
        self.run_with(args, b"", &[])
    }

    pub fn run_with(&self, args: &[&str], input: &[u8], environment: &[(&str, &str)]) -> Ran {
        let child = Command::new(env!("CARGO_BIN_EXE_seamster"))
            .args(args)
            .current_dir(&self.0)
            .env_remove("NO_COLOR")
            .envs(environment.iter().copied())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        finish(child, input)
    }

    /// Checks `film/film.seam` and gives what was found.
    pub fn check(&self) -> Found {
        self.check_file("film/film.seam")
    }

    pub fn check_file(&self, file: &str) -> Found {
        let ran = self.run(&["check", file, "--format", "json"]);
        let object = ran.json();
        Found { code: ran.code, findings: object["diagnostics"].as_array().unwrap().clone() }
    }
}

impl Drop for Room {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

/// What a run printed and how it ended.
#[derive(Debug)]
pub struct Ran {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Ran {
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out).unwrap_or_else(|error| panic!("{error}: {self:?}"))
    }
}

fn finish(mut child: Child, input: &[u8]) -> Ran {
    let mut stdin = child.stdin.take().unwrap();
    let input = input.to_owned();
    // A command that reads nothing closes its end; that is no failure here.
    let feeding = std::thread::spawn(move || drop(stdin.write_all(&input)));
    let (mut out, mut err) = (child.stdout.take().unwrap(), child.stderr.take().unwrap());
    let reading = std::thread::spawn(move || {
        let mut text = Vec::new();
        err.read_to_end(&mut text).map(|_| text).unwrap()
    });
    let reading_out = std::thread::spawn(move || {
        let mut text = Vec::new();
        out.read_to_end(&mut text).map(|_| text).unwrap()
    });
    let begun = Instant::now();
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if begun.elapsed() > LONGEST {
            child.kill().unwrap();
            panic!("the command hangs");
        }
        std::thread::sleep(Duration::from_millis(5));
    };
    feeding.join().unwrap();
    Ran {
        code: status.code().expect("the command ends by itself"),
        out: String::from_utf8(reading_out.join().unwrap()).unwrap(),
        err: String::from_utf8(reading.join().unwrap()).unwrap(),
    }
}

/// The findings of a check.
#[derive(Debug)]
pub struct Found {
    pub code: i32,
    pub findings: Vec<serde_json::Value>,
}

impl Found {
    /// The one finding with that code and line, in the sequence's first file.
    pub fn one(&self, code: &str, line: u64) -> &serde_json::Value {
        self.one_in("film.seam", code, line)
    }

    pub fn one_in(&self, file: &str, code: &str, line: u64) -> &serde_json::Value {
        let fits =
            |one: &&serde_json::Value| one["code"] == code && one["line"] == line && one["file"] == file;
        let mut fitting = self.findings.iter().filter(fits);
        let first = fitting.next().unwrap_or_else(|| panic!("no {code} on line {line}: {self:#?}"));
        assert!(fitting.next().is_none(), "more than one {code} on line {line}: {self:#?}");
        first
    }

    pub fn codes(&self) -> Vec<&str> {
        self.findings.iter().map(|one| one["code"].as_str().unwrap()).collect()
    }
}
