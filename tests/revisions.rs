//! Versions that lie in git: compared, and marked in a packet.

#![allow(clippy::disallowed_methods, reason = "tests read and write real files")]

use command::Room;

mod command;

const IN_GIT: [(&str, &str); 6] = [
    ("GIT_AUTHOR_NAME", "nobody"),
    ("GIT_AUTHOR_EMAIL", "nobody@example.org"),
    ("GIT_COMMITTER_NAME", "nobody"),
    ("GIT_COMMITTER_EMAIL", "nobody@example.org"),
    ("GIT_CONFIG_GLOBAL", "/dev/null"),
    ("GIT_CONFIG_SYSTEM", "/dev/null"),
];

fn git(room: &Room, args: &[&str]) {
    let mut git = std::process::Command::new("git");
    let ran = git.args(args).current_dir(room.path("")).envs(IN_GIT).output().expect("git is there");
    assert!(ran.status.success(), "{args:?}: {}", String::from_utf8_lossy(&ran.stderr));
}

/// A room with the starter in `film/`, committed, then with another title of the first plate.
fn changed_since(name: &str) -> Room {
    let room = Room::with_film(name);
    git(&room, &["init", "--quiet"]);
    git(&room, &["add", "."]);
    git(&room, &["commit", "--quiet", "-m", "first"]);
    room.write("film/kit.seam", format!("# the kit\n{}", room.read("film/kit.seam")));
    room.edit("film/film.seam", "finish by", "note \"bring tape\"\nfinish by");
    room
}

#[test]
fn a_revision_of_git_is_read_and_nothing_is_touched() {
    let room = changed_since("since");
    let before = room.tree("");
    for path in ["film/film.seam", "film"] {
        let ran = room.run(&["compare", path, "--since", "HEAD"]);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{ran:?}");
        assert!(ran.out.contains("note: new: \"bring tape\""), "{ran:?}");
    }
    let ran = room.run(&["compare", "film", "--since", "HEAD", "--until", "HEAD"]);
    assert!(ran.out.contains("nothing changed"), "{ran:?}");
    assert_eq!(room.tree(""), before);
    for revision in ["nowhere", "--output=x", "HEAD:film"] {
        let ran = room.run(&["compare", "film", &format!("--since={revision}")]);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{revision}: {ran:?}");
        assert!(ran.err.contains("git knows no revision"), "{revision}: {ran:?}");
    }
    assert_eq!(room.tree(""), before);
}

/// Both versions from git, in every form, with a page for whoever it concerns.
#[test]
fn two_revisions_are_compared_in_every_form() {
    let room = changed_since("forms");
    git(&room, &["commit", "--quiet", "-am", "second"]);
    // What lies in the folder now is of no concern.
    room.edit("film/film.seam", "bring tape", "bring string");
    let compare = |more: &[&str]| {
        let ran = room.run(&[&["compare", "film", "--since", "HEAD~1", "--until", "HEAD"], more].concat());
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{ran:?}");
        ran
    };
    for format in ["text", "markdown", "html"] {
        let out = compare(&["--format", format]).out;
        assert!(out.contains("bring tape") && !out.contains("string"), "{format}: {out}");
    }
    let object = compare(&["--format", "json"]).json();
    let heads = object["written"].as_array().expect("what is written");
    assert!(heads.iter().any(|change| change.to_string().contains("bring tape")), "{object}");
    compare(&["--out", "told"]);
    assert!(room.read("told/index.md").contains("bring tape"));
    for page in ["index.html", "comparison.json"] {
        assert!(room.path(&format!("told/{page}")).exists(), "{page}: {:?}", room.tree("told"));
    }
}

#[test]
fn a_packet_is_marked_since_a_revision() {
    let room = changed_since("packet");
    let plate =
        |text: &str| text.lines().find(|line| line.trim_start().starts_with("plate ")).map(str::to_owned);
    let text = room.read("film/film.seam");
    let line = plate(&text).expect("there is a plate");
    room.edit("film/film.seam", &line, &line.replacen('"', "\"Another: ", 1));
    let ran = room.run(&["build", "film", "--out", "packet", "--since", "HEAD"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    let marked =
        room.tree("packet").iter().filter(|(_, bytes)| String::from_utf8_lossy(bytes).contains("◆ ")).count();
    assert!(marked > 1, "{marked} pages are marked");
    let ran = room.run(&["build", "film", "--out", "other", "--since", "no-such-tag"]);
    assert_eq!(ran.code, 2, "{ran:?}");
    assert!(ran.err.contains("no-such-tag") && !room.path("other").exists(), "{ran:?}");
}

/// Names of revisions in the place of files are told how they are meant.
#[test]
fn revisions_in_the_place_of_files_are_told_how_they_are_written() {
    let room = changed_since("meant");
    let ran = room.run(&["compare", "HEAD~1", "HEAD"]);
    assert_eq!(ran.code, 2, "{ran:?}");
    assert!(ran.err.contains("compare FILE --since REV"), "{ran:?}");
}

/// Tests run in a folder of the repository, so git is told to look no further up.
#[test]
fn without_a_repository_nothing_is_compared() {
    let room = Room::with_film("bare");
    let up = room.path("").parent().expect("it lies in a folder").to_owned();
    let ran = room.run_with(
        &["compare", "film", "--since", "HEAD"],
        b"",
        &[("GIT_CEILING_DIRECTORIES", up.to_str().expect("its name is UTF-8"))],
    );
    assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{ran:?}");
    assert!(ran.err.contains("not a git repository") && ran.err.contains("help:"), "{ran:?}");
}
