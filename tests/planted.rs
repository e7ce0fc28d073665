//! The worst mistakes, planted together into a copy of each example: all are found,
//! and following the computed advice, word for word, makes every one of them go away.

#![allow(clippy::disallowed_methods, reason = "tests read real files")]

use seamster::Compiled;
use seamster::diagnostic::Severity;
use std::collections::BTreeMap;

mod project;

/// One mistake.
struct Mistake {
    /// The rule that finds it.
    code: &'static str,
    /// Words of a file, and what the mistake writes there.
    file: &'static str,
    right: &'static str,
    wrong: &'static str,
    /// The statements of the advice that are followed, in the order in which they are
    /// read from it: the first words of each, and what they replace.
    follow: &'static [(&'static str, &'static str)],
}

/// An example's texts, with mistakes in them.
struct Copy {
    name: &'static str,
    texts: BTreeMap<&'static str, String>,
}

impl Copy {
    fn new(name: &'static str, mistakes: &[Mistake]) -> Self {
        let mut copy = Self { name, texts: BTreeMap::new() };
        for mistake in mistakes {
            copy.replace(mistake.file, mistake.right, mistake.wrong);
        }
        copy
    }

    fn replace(&mut self, file: &'static str, words: &str, by: &str) {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(self.name);
        let text = self.texts.entry(file).or_insert_with(|| {
            std::fs::read_to_string(folder.join(file)).expect("the example has that file")
        });
        assert_eq!(text.matches(words).count(), 1, "'{words}' in {file}");
        *text = text.replace(words, by);
    }

    fn compile(&self) -> Compiled {
        let texts = self.texts.iter().map(|(file, text)| ((*file).to_owned(), text.clone())).collect();
        project::rewritten(self.name, texts)
    }
}

/// Everything above a note: code and help.
fn loud(compiled: &Compiled) -> Vec<(String, String)> {
    let loud = compiled.diagnostics.iter().filter(|one| one.severity > Severity::Note);
    loud.map(|one| {
        (one.code.id.to_owned(), format!("{}; mend: {}", one.message, one.help.clone().unwrap_or_default()))
    })
    .collect()
}

/// The first statement in quotes in an advice that begins with those words.
fn statement(advice: &str, begins: &str) -> Option<String> {
    let mend = advice.split("; mend: ").nth(1)?;
    let quoted = mend.split('\'').skip(1).step_by(2);
    quoted.map(str::to_owned).find(|quoted| quoted.starts_with(begins))
}

fn all_found_and_mended(name: &'static str, mistakes: &[Mistake]) {
    let mut copy = Copy::new(name, mistakes);
    let found = loud(&copy.compile());
    for mistake in mistakes {
        let there = found.iter().any(|(code, _)| code == mistake.code);
        assert!(there, "{name}: {} is not found after '{}': {found:#?}", mistake.code, mistake.wrong);
    }
    // What is written now in place of each mistake, and is replaced by the next advice.
    let mut now: Vec<Vec<String>> =
        mistakes.iter().map(|one| one.follow.iter().map(|(_, old)| (*old).to_owned()).collect()).collect();
    for _ in 0..4 {
        let found = loud(&copy.compile());
        for (mistake, now) in mistakes.iter().zip(&mut now) {
            let Some((_, advice)) = found.iter().find(|(code, _)| code == mistake.code) else { continue };
            for ((begins, old), now) in mistake.follow.iter().zip(now) {
                let Some(new) = statement(advice, begins) else { continue };
                if *now == new {
                    continue;
                }
                // A statement that is missing is added behind the line that is named.
                let by = if begins.is_empty() || old.starts_with(begins) {
                    new.clone()
                } else {
                    format!("{now}\n{new}")
                };
                copy.replace(mistake.file, now, &by);
                *now = new;
            }
        }
    }
    let left = loud(&copy.compile());
    assert!(left.is_empty(), "{name}: {left:#?}");
}

#[test]
fn night_parcel() {
    all_found_and_mended(
        "night-parcel",
        &[
            Mistake {
                code: "P05",
                file: "night-parcel.seam",
                right: "hands  behind",
                wrong: "hands in",
                follow: &[("hands", "hands in")],
            },
            Mistake {
                code: "P02",
                file: "night-parcel.seam",
                right: "turns_camera 8 deg/s\n    height",
                wrong: "turns_camera 90 deg/s\n    height",
                follow: &[("turns_camera", "turns_camera 90 deg/s")],
            },
            Mistake {
                code: "P03",
                file: "night-parcel.seam",
                right: "screen green\n    gap    2.0 m\n    sweep  50 deg x 36 deg\n    hands  in",
                wrong: "screen green\n    gap 3.4 m\n    sweep  50 deg x 36 deg\n    hands  in",
                follow: &[("gap", "gap 3.4 m")],
            },
            Mistake {
                code: "J03",
                file: "night-parcel.seam",
                right: "enters       stud at 2.8 m/s",
                wrong: "enters stud at 1.2 m/s",
                follow: &[("leaves", "leaves       stud at 3.0 m/s"), ("enters", "enters stud at 1.2 m/s")],
            },
            Mistake {
                code: "S02",
                file: "night-parcel.seam",
                right: "hands  out\n    takes  2",
                wrong: "hands  out\n    takes 6",
                follow: &[("takes", "takes 6")],
            },
            Mistake {
                code: "C01",
                file: "night-parcel.seam",
                right: "person       ines\n    spotter      tomas",
                wrong: "person       ines",
                follow: &[("spotter", "person       ines")],
            },
            Mistake {
                code: "C08",
                file: "night-parcel.seam",
                right: "actable 0.5 m  # as jumped",
                wrong: "actable 4 m",
                follow: &[("actable", "actable 4 m")],
            },
        ],
    );
}

#[test]
fn table_top() {
    all_found_and_mended(
        "table-top",
        &[
            Mistake {
                code: "P05",
                file: "table-top.seam",
                right: "hands  behind\n    shows  toast whole\n    note",
                wrong: "hands in\n    shows  toast whole\n    note",
                follow: &[("hands", "hands in")],
            },
            Mistake {
                code: "P06",
                file: "table-top.seam",
                right: "shutter 1/100 s",
                wrong: "shutter 1/120 s",
                follow: &[("shutter", "shutter 1/120 s")],
            },
            Mistake {
                code: "P09",
                file: "table-top.seam",
                right: "gap    1.5 m\n    sweep",
                wrong: "gap 0.4 m\n    sweep",
                follow: &[("gap", "gap 0.4 m")],
            },
            Mistake {
                code: "P14",
                file: "table-top.seam",
                right: "takes  4\n    height 0.45 m\n    tilt   -20 deg",
                wrong: "takes  4\n    height 0.60 m\n    tilt   -20 deg",
                follow: &[("height", "height 0.60 m")],
            },
            Mistake {
                code: "S02",
                file: "table-top.seam",
                right: "hold    locked\n    takes   4",
                wrong: "hold    locked\n    takes 9",
                follow: &[("takes", "takes 9")],
            },
            Mistake {
                code: "W05",
                file: "table-top.seam",
                right: "layer ambience, impacts, foley, voice, music",
                wrong: "layer ambience, foley, voice, music",
                follow: &[("layer", "layer ambience, foley, voice, music")],
            },
        ],
    );
}

#[test]
fn one_look() {
    all_found_and_mended(
        "one-look",
        &[
            Mistake {
                code: "J01",
                file: "one-look.seam",
                right: "near    3.5 m",
                wrong: "near 0.5 m",
                follow: &[("near", "near 0.5 m")],
            },
            Mistake {
                code: "J03",
                file: "one-look.seam",
                right: "leaves  flag at 3.0 m/s",
                wrong: "leaves flag at 7.0 m/s",
                follow: &[("leaves", "leaves flag at 7.0 m/s"), ("enters", "enters  flag at 3.0 m/s")],
            },
            Mistake {
                code: "J04",
                file: "one-look.seam",
                right: "enters  gate at 4.0 m/s",
                wrong: "enters  gate at 4.0 m/s heading 250 deg",
                follow: &[("heading", "heading 250 deg")],
            },
            Mistake {
                code: "J07",
                file: "one-look.seam",
                right: "lasts   8 s",
                wrong: "lasts 4 s",
                follow: &[("lasts", "lasts 4 s")],
            },
            Mistake {
                code: "P08",
                file: "one-look.seam",
                right: "moves   4.5 m/s\n    enters  gate",
                wrong: "moves   4.5 m/s\n    rolls 90 deg\n    enters  gate",
                follow: &[("rolls", "rolls 90 deg")],
            },
            Mistake {
                code: "C03",
                file: "one-look.seam",
                right: "person  bo\n    spotter samir\n    lasts   14 s",
                wrong: "person  bo\n    lasts   14 s",
                follow: &[("spotter", "person  bo\n    lasts   14 s")],
            },
        ],
    );
}
