//! What people really hand in: each is told clearly or carried safely, and
//! nothing is lost. Every test is one kind of bad input.

#![allow(clippy::disallowed_methods, reason = "tests read and write real files")]

mod command;

use command::Room;

const FILM: &str = "film/film.seam";

#[test]
fn an_empty_file() {
    let room = Room::new("empty");
    room.write("empty.seam", "");
    let found = room.check_file("empty.seam");
    assert_eq!(found.code, 1);
    found.one_in("empty.seam", "T11", 1);
    assert_eq!(room.run(&["build", "empty.seam", "--out", "packet"]).code, 1);
    assert!(!room.path("packet").exists());
}

#[test]
fn a_binary_file() {
    let room = Room::new("binary");
    room.write("picture.seam", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\xff\xfe\0");
    let found = room.check_file("picture.seam");
    assert_eq!(found.code, 1);
    let told = found.one_in("picture.seam", "T01", 1);
    assert!(told["message"].as_str().unwrap().contains("not a text file"), "{told}");
}

#[test]
fn a_file_in_another_encoding() {
    let room = Room::with_film("encoding");
    let text = room.read(FILM).replace("hands carry", "h\u{e4}nds carry");
    let latin: Vec<u8> = text.chars().map(|letter| u8::try_from(u32::from(letter)).unwrap_or(0xe9)).collect();
    room.write("latin.seam", latin.iter().chain(b"# \xe9\n").copied().collect::<Vec<u8>>());
    let found = room.check_file("latin.seam");
    assert_eq!(found.code, 1);
    let told = found.one_in("latin.seam", "T01", 1);
    assert!(told["message"].as_str().unwrap().contains("not UTF-8 (line "), "{told}");

    let wide: Vec<u8> =
        std::iter::once(0xfeff).chain(text.encode_utf16()).flat_map(u16::to_le_bytes).collect();
    room.write("wide.seam", wide);
    let found = room.check_file("wide.seam");
    assert_eq!(found.code, 1);
    let told = found.one_in("wide.seam", "T01", 1);
    assert!(told["message"].as_str().unwrap().contains("UTF-16"), "{told}");
}

#[test]
fn a_byte_order_mark_and_line_ends_of_another_system() {
    let room = Room::with_film("marks");
    let text = format!("\u{feff}{}", room.read(FILM).replace('\n', "\r\n"));
    room.write(FILM, &text);
    let found = room.check();
    assert_eq!((found.code, found.codes()), (0, vec![]));
}

#[test]
fn a_file_of_fifty_megabytes() {
    let room = Room::with_film("large");
    let large = "# a comment that says nothing\n".repeat(50 * 1024 * 1024 / 30);
    room.write("large.seam", &large);
    let ran = room.run(&["check", "large.seam", "--format", "json"]);
    assert_eq!(ran.code, 2);
    for told in [ran.err.as_str(), ran.json()["trouble"].as_str().unwrap()] {
        assert!(told.contains("it is 49 MB long; a file may have 4 MB"), "{told}");
    }
    assert_eq!(room.run(&["fmt", "large.seam"]).code, 2);
    assert_eq!(room.read("large.seam").len(), large.len());

    // As a part of a sequence it is a finding, at the line that asks for it.
    room.write("film/large.seam", &large);
    room.edit(FILM, "use \"kit.seam\"", "use \"kit.seam\"\nuse \"large.seam\"");
    let found = room.check();
    assert_eq!(found.code, 1);
    let told = found.one("T01", room.line(FILM, "large.seam"));
    assert!(told["message"].as_str().unwrap().contains("49 MB"), "{told}");

    let ran = room.run_with(&["check", "-"], large.as_bytes(), &[]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("longer than 4 MB"), "{ran:?}");
}

#[test]
fn a_long_line_and_a_great_many_mistakes() {
    let room = Room::new("mistakes");
    for (name, piece) in
        [("words.seam", "a;"), ("lines.seam", "? ?\n"), ("names.seam", "prop a {}\n"), ("open.seam", "{")]
    {
        room.write(name, piece.repeat(400_000 / piece.len()));
        let ran = room.run(&["check", name]);
        assert_eq!(ran.code, 1, "{name}");
        assert!(ran.out.len() < 1_000_000, "{name}: {}", ran.out.len());
    }
}

#[test]
fn ten_thousand_nested_blocks() {
    let room = Room::with_film("nested");
    let depth = 10_000;
    let before = room.read(FILM);
    let deep = format!("{before}\n{}{}", "beat a {\n".repeat(depth), "}\n".repeat(depth));
    room.write(FILM, &deep);
    let found = room.check();
    assert_eq!(found.code, 1);
    let told = found.findings.iter().filter(|one| one["code"] == "T03").collect::<Vec<_>>();
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0]["message"].as_str().unwrap().contains("nested deeper than"), "{told:?}");
    assert!(told[0]["line"].as_u64().unwrap() > before.lines().count() as u64, "{told:?}");

    room.write("open.seam", "beat a {".repeat(depth));
    room.write("closed.seam", "}".repeat(depth));
    for name in ["open.seam", "closed.seam"] {
        let found = room.check_file(name);
        assert_eq!(found.code, 1, "{name}");
        assert!(found.codes().contains(&"T03"), "{name}");
    }
    assert_eq!(room.run(&["fmt", FILM]).code, 1);
    assert_eq!(room.read(FILM), deep);
}

#[test]
fn files_that_use_each_other() {
    let room = Room::with_film("circle");
    room.edit("film/kit.seam", "camera pocket", "use \"more.seam\"\ncamera pocket");
    room.write("film/more.seam", "# first line\nuse \"kit.seam\"\n");
    let found = room.check();
    assert_eq!(found.code, 1);
    let told = found.one_in("more.seam", "T12", 2);
    assert!(told["message"].as_str().unwrap().contains("kit.seam → more.seam → kit.seam"), "{told}");
    // The rest of all three files was read: nothing else is missing.
    assert_eq!(found.codes(), ["T12"]);
}

#[test]
fn a_use_that_climbs_out_of_the_project() {
    let room = Room::with_film("outside");
    room.write("secret.seam", "place secret \"not to be read\" { light lamp }\n");
    for path in ["../secret.seam", "/etc/passwd", "sub/../../secret.seam", "..\\\\secret.seam"] {
        let line = format!("use \"kit.seam\"\nuse \"{path}\"");
        let before = room.read(FILM);
        room.edit(FILM, "use \"kit.seam\"", &line);
        let found = room.check();
        assert_eq!(found.code, 1, "{path}");
        found.one("T13", room.line(FILM, path));
        room.write(FILM, before);
    }
}

#[cfg(unix)]
#[test]
fn a_link_that_leads_out_of_the_project() {
    let room = Room::with_film("link");
    room.write("secret.seam", "place secret \"not to be read\" { light lamp }\n");
    std::os::unix::fs::symlink(room.path("secret.seam"), room.path("film/link.seam")).unwrap();
    room.edit(FILM, "use \"kit.seam\"", "use \"kit.seam\"\nuse \"link.seam\"");
    let found = room.check();
    assert_eq!(found.code, 1);
    let told = found.one("T01", room.line(FILM, "link.seam"));
    assert!(told["message"].as_str().unwrap().contains("leads out of the project"), "{told}");
}

#[cfg(unix)]
#[test]
fn a_pipe_that_nobody_writes_to_and_a_folder() {
    let room = Room::with_film("pipe");
    let made = std::process::Command::new("mkfifo").arg(room.path("film/pipe.seam")).status();
    assert!(made.is_ok_and(|status| status.success()));
    std::fs::create_dir(room.path("film/folder.seam")).unwrap();
    room.edit(
        FILM,
        "use \"kit.seam\"",
        "use \"kit.seam\"\nuse \"pipe.seam\"\nuse \"folder.seam\"\nuse \"missing.seam\"",
    );
    let found = room.check();
    assert_eq!(found.code, 1);
    for (name, why) in [("pipe", "no regular file"), ("folder", "is a folder"), ("missing", "no such file")] {
        let told = found.one("T01", room.line(FILM, &format!("{name}.seam")));
        assert!(told["message"].as_str().unwrap().contains(why), "{told}");
    }
    for file in ["film/pipe.seam", "film/folder.seam", "film/missing.seam"] {
        assert_eq!(room.run(&["check", file]).code, 2, "{file}");
    }
    // A folder stands for the one sequence in it, whatever else lies there.
    assert_eq!(room.run(&["check", "film"]).code, 1);
}

#[test]
fn a_name_twice() {
    let room = Room::with_film("twice");
    room.edit(FILM, "prop box \"The box\" {", "prop box { states full, void }\nprop box \"The box\" {");
    let found = room.check();
    assert_eq!(found.code, 1);
    let told = found.one("T10", room.line(FILM, "\"The box\" {"));
    assert_eq!(told["others"][0]["line"], room.line(FILM, "states full"), "{told}");
}

#[test]
fn a_unit_missing_wrong_or_unknown() {
    let room = Room::with_film("units");
    room.edit(FILM, "lasts  40 s", "lasts  40");
    room.edit(FILM, "lasts  12 s", "lasts  12 kg");
    room.edit(FILM, "speed   80%..250%", "speed   80 parsec..250%");
    let found = room.check();
    assert_eq!(found.code, 1);
    for words in ["lasts  40", "lasts  12 kg", "80 parsec"] {
        found.one("T07", room.line(FILM, words));
    }
}

#[test]
fn a_number_too_large() {
    let room = Room::with_film("numbers");
    let many = "9".repeat(400);
    room.edit(FILM, "lasts  40 s", &format!("lasts  {many} s"));
    room.edit(FILM, "lasts  12 s", "lasts  1000000000 min");
    room.edit(FILM, "takes  4", "takes  99999999999999999999999");
    room.edit("film/kit.seam", "frame   2560x1440 at 50 fps", "frame   99999999999x1440 at 50 fps");
    let found = room.check();
    assert_eq!(found.code, 1);
    for words in ["lasts  999", "lasts  1000000000", "takes  999"] {
        found.one("T08", room.line(FILM, words));
    }
    let line = room.line("film/kit.seam", "99999999999x");
    assert!(found.findings.iter().any(|one| one["file"] == "kit.seam" && one["line"] == line), "{found:#?}");
}

#[test]
fn a_date_and_a_clock_that_do_not_exist() {
    let room = Room::with_film("dates");
    room.edit(FILM, "days from 2027-05-14", "days from 2027-02-30");
    room.edit(FILM, "call 10:00", "call 25:61");
    room.edit(FILM, "finish by 2027-06-11", "finish by 0000-00-00");
    let found = room.check();
    assert_eq!(found.code, 1);
    for words in ["2027-02-30", "25:61", "0000-00-00"] {
        found.one("T09", room.line(FILM, words));
    }
}

/// In Lisbon on 2027-03-28 the clock goes from 01:00 to 02:00 (tz database:
/// last Sunday of March, 01:00 UTC, which is then local time there).
#[test]
fn a_clock_in_the_hour_that_daylight_saving_skips() {
    let room = Room::with_film("skipped");
    room.edit(FILM, "days from 2027-05-14", "days from 2027-03-28");
    room.edit(FILM, "call 10:00", "call 01:30");
    let found = room.check();
    let line = room.line(FILM, "call 01:30");
    let told = found.one("T09", line);
    assert!(told["message"].as_str().unwrap().contains("01:30"), "{told}");
}

#[test]
fn an_unknown_word_name_and_recipe() {
    let room = Room::with_film("words");
    room.edit(FILM, "lasts  40 s", "lsats  40 s");
    room.edit(FILM, "join table.hands -> shut", "join table.hnads -> shut");
    room.edit(FILM, "by carried_objects", "by carried_object");
    let found = room.check();
    assert_eq!(found.code, 1);
    for (code, words, near) in [
        ("T04", "lsats", "lasts"),
        ("T05", "hnads", "hands"),
        ("T17", "by carried_object", "carried_objects"),
    ] {
        let told = found.one(code, room.line(FILM, words));
        let help = format!("{}{}", told["help"], told["edit"]["text"]);
        assert!(help.contains(near), "{told}");
    }
}

#[test]
fn every_malformed_line_is_told_in_one_run() {
    let room = Room::with_film("lines");
    room.edit(FILM, "lasts  40 s", "lasts  \"40 s");
    room.edit(FILM, "lasts  12 s", "lasts  = 12 s");
    room.edit(FILM, "finish by 2027-06-11", "finish by 2027-06-11 }");
    let found = room.check();
    assert_eq!(found.code, 1);
    found.one("T02", room.line(FILM, "lasts  \"40"));
    found.one("T02", room.line(FILM, "lasts  ="));
    found.one("T03", room.line(FILM, "finish by"));
}

#[test]
fn a_recipe_with_an_alias_bomb() {
    let room = Room::with_film("bomb");
    let mut bomb = String::from("a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n");
    for level in 1..30 {
        let before = level - 1;
        let list = vec![format!("*a{before}"); 10].join(", ");
        bomb.push_str(&format!("a{level}: &a{level} [{list}]\n"));
    }
    room.write("film/recipes/bomb.yaml", bomb);
    room.write("film/recipes/deep.yaml", "[".repeat(100_000));
    room.write("film/recipes/tag.yaml", "recipe: !!python/object:os.system x\n");
    room.write("film/recipes/binary.yml", b"\xff\0");
    let found = room.check();
    assert_eq!(found.code, 1);
    for file in ["recipes/bomb.yaml", "recipes/deep.yaml", "recipes/tag.yaml"] {
        let told = found
            .findings
            .iter()
            .find(|one| one["file"] == file)
            .unwrap_or_else(|| panic!("{file}: {found:#?}"));
        assert_eq!(told["code"], "T17", "{told}");
    }
    found.one_in("recipes/binary.yml", "T01", 1);
}

#[test]
fn an_output_folder_that_belongs_to_somebody_else() {
    let room = Room::with_film("foreign");
    room.write("photos/cat.jpg", "cat");
    room.write("letter.txt", "dear reader");
    let before = room.tree("");
    for (out, why) in [
        ("photos", "did not write"),
        ("letter.txt", "no folder"),
        ("film", "the sequence lies in it"),
        (".", "the sequence lies in it"),
        ("..", "the sequence lies in it"),
        ("/", "the sequence lies in it"),
        ("no/such/packet", "there is no folder"),
        ("letter.txt/packet", "no folder"),
    ] {
        let ran = room.run(&["build", FILM, "--out", out]);
        assert_eq!(ran.code, 2, "{out}: {ran:?}");
        assert!(ran.err.contains(why), "{out}: {ran:?}");
    }
    assert_eq!(room.tree(""), before);
}

#[test]
fn a_packet_in_which_somebody_has_written() {
    let room = Room::with_film("written");
    assert_eq!(room.run(&["build", FILM, "--out", "packet"]).code, 0);
    room.write("packet/my-remarks.txt", "the third step is loose");
    let before = room.tree("");
    let ran = room.run(&["build", FILM, "--out", "packet", "--format", "json"]);
    assert_eq!(ran.code, 2);
    assert!(ran.json()["trouble"].as_str().unwrap().contains("my-remarks.txt"), "{ran:?}");
    assert_eq!(room.tree(""), before);
}

/// A place that even the superuser cannot write to stands for one without permission.
#[cfg(target_os = "linux")]
#[test]
fn an_output_folder_that_cannot_be_written() {
    let room = Room::with_film("unwritable");
    let ran = room.run(&["build", FILM, "--out", "/proc/packet"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("the packet cannot be written into '/proc/packet'"), "{ran:?}");
    let ran = room.run(&["new", "/proc/film"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("nothing was written into '/proc/film'"), "{ran:?}");
}

/// Output that cannot be written is trouble, not success and not a crash.
#[cfg(target_os = "linux")]
#[test]
fn standard_output_on_a_full_disk() {
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let ran = std::process::Command::new(env!("CARGO_BIN_EXE_seamster"))
        .args(["explain", "--language"])
        .stdout(full)
        .output()
        .unwrap();
    assert_eq!(ran.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&ran.stderr).contains("standard output cannot be written"));
}

/// Titles that other programs would run: what is carried is the title, not what it does.
#[test]
fn markup_formulas_and_template_expressions_in_titles() {
    let room = Room::with_film("titles");
    let html = "<script>alert(1)</script><img src=x onerror=alert(1)>";
    let formula = "=HYPERLINK(0)&cmd|' /C calc'!A0";
    let template = "{{ 7 * 9999991 }}{% for a in b %}";
    room.edit(FILM, "\"Hands carry the things, kept behind them\"", &format!("\"{html}\""));
    room.edit(FILM, "\"The lid is pulled by a thread\"", &format!("\"{formula}\""));
    room.edit(FILM, "\"The box shuts itself\"", &format!("\"{template}\""));
    let ran = room.run(&["build", FILM, "--out", "packet"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    let mut carried = [false; 3];
    for (path, bytes) in room.tree("packet") {
        let text = String::from_utf8(bytes).unwrap();
        if path.ends_with(".html") {
            assert!(!text.contains("<script>alert") && !text.contains("<img src=x"), "{path}");
            carried[0] |= text.contains("&lt;script&gt;alert");
        }
        if path.ends_with(".md") {
            // CommonMark 2.4: a backslash before `<` makes it a letter.
            for (at, _) in text.match_indices("<script").chain(text.match_indices("<img")) {
                assert!(text[..at].ends_with('\\'), "{path}: {}", &text[at..]);
            }
        }
        if path.ends_with(".csv") {
            for field in text.split(['\n', ',']) {
                let field = field.trim_start_matches('"');
                assert!(!field.starts_with(['=', '+', '@']), "{path}: {field}");
            }
            carried[1] |= text.contains("HYPERLINK(0)");
        }
        assert!(!text.contains("69999937"), "{path}");
        carried[2] |= path.ends_with(".html") && text.contains("7 * 9999991");
    }
    assert_eq!(carried, [true; 3], "each title is still there to be read");
    let json: serde_json::Value = serde_json::from_str(&room.read("packet/packet.json")).unwrap();
    for title in [html, formula, template] {
        let quoted = serde_json::to_string(title).unwrap();
        assert!(json.to_string().contains(&quoted), "{title}");
    }
}

/// A title or a file name cannot steer the terminal of whoever reads about it.
#[test]
fn control_characters_in_titles_and_names() {
    let room = Room::with_film("control");
    room.edit(FILM, "\"The box\"", "\"\u{1b}[2J\u{1b}]0;owned\u{7}\u{9b}31m\u{202e}\"");
    room.edit(FILM, "shows  box open", "shows  \u{1b}[31mbox\u{9b} open");
    let odd = "film/odd\u{1b}[31m.seam";
    let runs = [
        room.run(&["check", FILM]),
        room.run(&["check", FILM, "--format", "json"]),
        room.run(&["why", FILM, "no\u{1b}[31m"]),
        room.run(&["explain", "no\u{1b}[31m"]),
        room.run(&["recipes", "no\u{1b}[31m"]),
        room.run(&["check", odd]),
        room.run(&["fmt", odd, FILM]),
        room.run(&["build", FILM, "--draft", "--out", "packet\u{1b}[31m"]),
    ];
    for ran in runs {
        let steers = |letter: char| (letter.is_control() && letter != '\n') || letter == '\u{202e}';
        let text = format!("{}{}", ran.out, ran.err);
        let left: String = text.chars().filter(|letter| steers(*letter)).collect();
        // JSON writes them as escapes, or leaves those that are legal in it; it is not for a terminal.
        if ran.out.starts_with('{') {
            assert!(!text.contains('\u{1b}') && !text.contains('\u{7}'), "{text}");
        } else {
            assert_eq!(left, "", "{text}");
        }
    }
}

/// Names of templates and what is in them come from the project.
#[test]
fn a_template_that_is_wrong_unknown_or_endless() {
    let room = Room::with_film("template");
    for (name, text, why) in [
        ("plate.html", "{{ view.no_such_name }}", "plate.html"),
        ("plate.html", "{% for a in %}", "plate.html"),
        (
            "plate.html",
            "{% for a in range(100000) %}{% for b in range(100000) %}x{% endfor %}{% endfor %}",
            "plate.html",
        ),
        ("plaet.html", "x", "did you mean 'plate.html'?"),
        ("plate.html", "a\n{{ view.no_such_name }}", "templates/plate.html:2: "),
        ("plate.html", "{% if x %}\n\n{% endfor %}", "templates/plate.html:3: "),
        // Files are out of reach, beside it as well as anywhere.
        ("plate.html", "\n{% include \"../kit.seam\" %}", "templates/plate.html:2: "),
        ("plate.html", "\n{% extends \"/etc/passwd\" %}", "templates/plate.html:2: "),
        ("plate.html", "\n{% import \"kit.seam\" as kit %}", "templates/plate.html:2: "),
        ("plate.html", "{% macro m() %}{{ m() }}{% endmacro %}\n{{ m() }}", "templates/plate.html:"),
    ] {
        room.write(&format!("film/templates/{name}"), text);
        let ran = room.run(&["build", FILM, "--out", "packet"]);
        assert_eq!(ran.code, 2, "{text}: {ran:?}");
        assert!(ran.err.contains(why), "{text}: {ran:?}");
        assert!(!room.path("packet").exists(), "{text}");
        std::fs::remove_file(room.path(&format!("film/templates/{name}"))).unwrap();
    }
}
