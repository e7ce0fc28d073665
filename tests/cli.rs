//! The command from outside: what is typed, printed, written, and the exit code.

#![allow(clippy::disallowed_methods, reason = "tests read and write real files")]

mod command;

use command::Room;

const FILM: &str = "film/film.seam";

#[test]
fn new_writes_a_sequence_that_builds_without_a_finding() {
    let room = Room::new("new");
    let ran = room.run(&["new", "Our Film"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(ran.out.contains("Our Film/our-film.seam"), "{ran:?}");
    let first = "Our Film/our-film.seam";
    assert!(room.read(first).contains("sequence our_film \"Our film\""));
    let ran = room.run(&["check", first, "--strict"]);
    assert_eq!((ran.code, ran.out.as_str(), ran.err.as_str()), (0, "nothing found\n", ""));
    assert_eq!(room.run(&["fmt", "--check", first, "Our Film/kit.seam"]).code, 0);
    let ran = room.run(&["build", first, "--out", "packet", "--strict"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(room.path("packet/index.html").is_file());
}

#[test]
fn new_never_overwrites() {
    let room = Room::with_film("again");
    let before = room.tree("");
    for dir in ["film", ".", "film/kit.seam"] {
        let ran = room.run(&["new", dir]);
        assert_eq!(ran.code, 2, "{dir}: {ran:?}");
    }
    assert_eq!(room.tree(""), before);
}

#[test]
fn check_tells_place_words_mend_and_page_of_each_finding() {
    let room = Room::with_film("told");
    room.edit(
        FILM,
        "height 1.30 m\n    tilt   -25 deg\n    near   0.6 m\n    hands  behind",
        "hieght 1.30 m\n    tilt   -25 deg\n    near   0.6 m\n    hands  behind",
    );
    let before = room.tree("");
    let ran = room.run(&["check", FILM]);
    assert_eq!(ran.code, 1);
    let line = room.line(FILM, "hieght");
    for told in [
        "error[T04]: ",
        &format!("--> film.seam:{line}:5"),
        "^^^^^^",
        "height",
        "explain: seamster explain unknown-statement",
        "1 error\n",
    ] {
        assert!(ran.out.contains(told), "{told} in {}", ran.out);
    }
    assert!(!ran.out.contains('\u{1b}'), "no colour where no terminal is");
    assert_eq!(ran.err, "");
    assert_eq!(room.tree(""), before, "a check writes nothing");
}

#[test]
fn json_is_one_object_with_every_promised_key() {
    let room = Room::with_film("json");
    room.edit(FILM, "lasts  12 s", "lasts  12 kg");
    let ran = room.run(&["check", FILM, "--format", "json"]);
    let object = ran.json();
    assert_eq!((ran.code, ran.err.as_str()), (1, ""));
    let findings = object["diagnostics"].as_array().unwrap();
    let finding = findings.iter().find(|one| one["code"] == "T07").unwrap();
    for key in ["code", "rule", "severity", "message", "file", "line", "column", "help"] {
        assert!(finding.get(key).is_some(), "{key} in {finding}");
    }
    assert_eq!(finding["severity"], "error");
    assert_eq!(finding["file"], "film.seam");
    assert_eq!(finding["line"], room.line(FILM, "12 kg"));
    assert_eq!(object["sequence"], "film");
}

#[test]
fn colour_only_where_it_is_forced_and_never_with_no_color() {
    let room = Room::with_film("colour");
    room.edit(FILM, "lasts  12 s", "lasts  12 kg");
    let escapes = |environment: &[(&str, &str)]| {
        room.run_with(&["check", FILM], b"", environment).out.contains('\u{1b}')
    };
    assert!(!escapes(&[]));
    assert!(escapes(&[("CLICOLOR_FORCE", "1")]));
    assert!(!escapes(&[("NO_COLOR", "1")]));
    assert!(!escapes(&[("NO_COLOR", "1"), ("CLICOLOR_FORCE", "1")]));
}

#[test]
fn warnings_fail_only_under_strict_and_errors_always() {
    let room = Room::with_film("strict");
    room.edit(FILM, "  base room", "  base room\n  expects -15 C..-5 C");
    let ran = room.run(&["check", FILM, "--format", "json"]);
    let object = ran.json();
    assert_eq!((ran.code, &object["errors"]), (0, &serde_json::json!(0)), "{object}");
    assert!(object["warnings"].as_u64().unwrap() > 0, "{object}");
    assert_eq!(room.run(&["check", FILM, "--strict"]).code, 1);
    assert_eq!(room.run(&["build", FILM, "--out", "packet", "--strict"]).code, 1);
    assert!(!room.path("packet").exists());
    assert_eq!(room.run(&["build", FILM, "--out", "packet"]).code, 0);
}

#[test]
fn build_with_errors_writes_nothing_unless_a_draft_is_asked_for() {
    let room = Room::with_film("draft");
    assert_eq!(room.run(&["build", FILM, "--out", "packet"]).code, 0);
    let before = room.tree("");
    room.edit(FILM, "cup, plate, spoon", "cup, plate, spoon\n    nonsense 3 m");
    let broken = room.read(FILM);
    let ran = room.run(&["build", FILM, "--out", "packet"]);
    assert_eq!(ran.code, 1, "{ran:?}");
    assert!(ran.out.contains("nothing was written"), "{ran:?}");
    let kept: Vec<_> = room.tree("").into_iter().filter(|(path, _)| path != FILM).collect();
    let expected: Vec<_> = before.into_iter().filter(|(path, _)| path != FILM).collect();
    assert_eq!(kept, expected);
    let ran = room.run(&["build", FILM, "--out", "packet", "--draft", "--format", "json"]);
    assert_eq!(ran.code, 1, "a draft is written, and the sequence still has errors");
    assert_eq!(ran.json()["written"]["draft"], true);
    for (path, bytes) in room.tree("packet") {
        if path.ends_with(".html") || path.ends_with(".md") {
            let text = String::from_utf8(bytes).unwrap().to_lowercase();
            assert!(text.contains("draft"), "{path} does not say that it is a draft");
        }
    }
    assert_eq!(room.read(FILM), broken);
}

#[test]
fn the_same_text_gives_the_same_bytes_anywhere() {
    let room = Room::with_film("bytes");
    assert_eq!(room.run(&["build", FILM, "--out", "one"]).code, 0);
    room.write("elsewhere/deep/film.seam", room.read(FILM));
    room.write("elsewhere/deep/kit.seam", room.read("film/kit.seam"));
    let environment = [("TZ", "Asia/Kathmandu"), ("LANG", "de_DE.UTF-8"), ("HOME", "/nowhere")];
    let ran = room.run_with(&["build", "elsewhere/deep/film.seam", "--out", "two"], b"", &environment);
    assert_eq!(ran.code, 0);
    let inside = |folder: &str| -> Vec<(String, Vec<u8>)> {
        room.tree(folder).into_iter().map(|(path, bytes)| (path[folder.len()..].to_owned(), bytes)).collect()
    };
    assert!(inside("one") == inside("two"), "two builds of one text differ");
    assert!(inside("one").len() > 10);
}

#[test]
fn nothing_outside_the_folder_is_touched_and_nothing_of_a_former_run_stays() {
    let room = Room::with_film("former");
    assert_eq!(room.run(&["build", FILM, "--out", "packet"]).code, 0);
    let beside = |room: &Room| -> Vec<String> {
        room.tree("").into_iter().map(|(path, _)| path).filter(|path| !path.starts_with("packet/")).collect()
    };
    let before = beside(&room);
    let first: Vec<String> = room.tree("packet").into_iter().map(|(path, _)| path).collect();
    assert!(first.iter().any(|path| path.contains("lid-shut")), "{first:?}");
    let text = room.read(FILM);
    room.write(FILM, text.replace("plate shut", "plate closing").replace("-> shut", "-> closing"));
    assert_eq!(room.run(&["build", FILM, "--out", "packet"]).code, 0);
    let second: Vec<String> = room.tree("packet").into_iter().map(|(path, _)| path).collect();
    assert!(second.iter().any(|path| path.contains("lid-closing")), "{second:?}");
    assert!(!second.iter().any(|path| path.contains("lid-shut")), "{second:?}");
    assert_eq!(beside(&room), before);
}

#[test]
fn a_template_of_the_project_replaces_a_built_in_one() {
    let room = Room::with_film("own");
    room.write("film/templates/desk_plan.md", "Our own plan of {{ head.title }}\n");
    room.write("film/templates/.hidden", "left alone");
    assert_eq!(room.run(&["build", FILM, "--out", "packet"]).code, 0);
    assert_eq!(room.read("packet/desk-plan.md"), "Our own plan of Film\n");
}

#[test]
fn fmt_keeps_what_is_broken_and_formats_the_rest() {
    let room = Room::with_film("fmt");
    let laid_out = room.read(FILM);
    room.write("film/loose.seam", laid_out.replace("  ", " "));
    let broken = "place a { light \"lamp }\n   # kept\n";
    room.write("film/broken.seam", broken);
    let ran = room.run(&["fmt", "--check", "film/loose.seam", FILM]);
    assert_eq!((ran.code, ran.out.as_str()), (1, "film/loose.seam would change\n"));
    let ran = room.run(&["fmt", "film/broken.seam", "film/loose.seam"]);
    assert_eq!(ran.code, 1);
    assert!(ran.err.contains("error[T02]"), "{ran:?}");
    assert_eq!(room.read("film/broken.seam"), broken);
    assert_eq!(room.run(&["fmt", "--check", "film/loose.seam"]).code, 0);
    assert_eq!(room.run(&["fmt", "film/missing.seam"]).code, 2);
    let names: Vec<String> = room.tree("film").into_iter().map(|(path, _)| path).collect();
    assert!(!names.iter().any(|name| name.contains("/.")), "{names:?}");
}

#[test]
fn fmt_puts_words_values_and_comments_into_columns() {
    let room = Room::new("columns");
    let loose = "rig a{fixed yes}\n\n\nrig stand \"Tripod\" {\nsway 0 deg/s# a\n   placing 0.5cm ,0.3 deg  #   b\n# c\n\n\nhands 2\n}\nsound { layer a,\nb }";
    let expected = "rig a { fixed yes }\n\nrig stand \"Tripod\" {\n  sway    0 deg/s          # a\n  placing 0.5 cm, 0.3 deg  #   b\n  # c\n\n  hands 2\n}\nsound {\n  layer a,\n      b\n}\n";
    let ran = room.run_with(&["fmt", "-"], loose.as_bytes(), &[]);
    assert_eq!((ran.code, ran.out.as_str()), (0, expected));
}

#[test]
fn fmt_refuses_a_list_that_would_swallow_the_next_line() {
    let room = Room::new("comma");
    let ran = room.run_with(&["fmt", "-"], b"sound { layer a, ; layer b }\n", &[]);
    assert_eq!((ran.code, ran.out.as_str()), (1, ""));
    assert!(ran.err.contains("ends with a comma") && ran.err.contains("--> <stdin>:1:16"), "{ran:?}");
}

#[test]
fn every_example_is_in_the_canonical_layout() {
    let room = Room::new("layout");
    let house = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut files = Vec::new();
    for folder in std::fs::read_dir(house).unwrap() {
        for file in std::fs::read_dir(folder.unwrap().path()).unwrap() {
            let path = file.unwrap().path();
            if path.extension().is_some_and(|ending| ending == "seam") {
                files.push(path.to_str().unwrap().to_owned());
            }
        }
    }
    assert!(files.len() >= 5);
    let args: Vec<&str> = ["fmt", "--check"].into_iter().chain(files.iter().map(String::as_str)).collect();
    let ran = room.run(&args);
    assert_eq!((ran.code, ran.out.as_str()), (0, ""));
}

#[test]
fn a_hyphen_is_standard_input() {
    let room = Room::with_film("input");
    let text = room.read(FILM);
    let loose = text.replace("  ", " ");
    let ran = room.run_with(&["fmt", "-"], loose.as_bytes(), &[]);
    assert_eq!(ran.code, 0);
    let again = room.run_with(&["fmt", "-"], ran.out.as_bytes(), &[]);
    assert_eq!(again.out, ran.out);
    let one = text.replace("use \"kit.seam\"\n", &room.read("film/kit.seam"));
    assert_eq!(room.run_with(&["check", "-", "--strict"], one.as_bytes(), &[]).code, 0);
    assert_eq!(room.run_with(&["build", "-", "--out", "packet"], one.as_bytes(), &[]).code, 0);
    let ran = room.run_with(&["check", "-"], b"place\n", &[]);
    assert_eq!(ran.code, 1);
    assert!(ran.out.contains("--> <stdin>:1:"), "{ran:?}");
}

/// A folder stands for the one sequence in it, and no name at all for the folder one is in.
#[test]
fn a_folder_stands_for_the_sequence_in_it() {
    let room = Room::with_film("folder");
    for args in [&["check", "film"][..], &["build", "film", "--out", "packet"], &["why", "film"]] {
        let ran = room.run(args);
        assert_eq!(ran.code, 0, "{ran:?}");
    }
    assert_eq!(room.run(&["check", "film/film.seam"]).out, room.run(&["check", "film"]).out);
    let ran = room.run(&["check"]);
    assert_eq!(ran.code, 2, "{ran:?}");
    assert!(ran.err.contains("no file in '.' holds a sequence") && ran.err.contains("help:"), "{ran:?}");
    room.write("film/other.seam", room.read("film/film.seam"));
    let ran = room.run(&["build", "film", "--out", "two"]);
    assert_eq!(ran.code, 2, "{ran:?}");
    assert!(ran.err.contains("film.seam, other.seam") && !room.path("two").exists(), "{ran:?}");
    room.write("film.seam", room.read("film/film.seam").replace("kit.seam", "film/kit.seam"));
    assert_eq!(room.run(&["check"]).code, 0);
}

#[test]
fn why_tells_time_reasons_lines_and_what_waits() {
    let room = Room::with_film("why");
    let line = room.line(FILM, "effect flight");
    let ran = room.run(&["why", FILM, "table.flight"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    for told in ["2027-05-", "waits for", "table.hands", &format!("(film.seam:{line})"), "waited for by"] {
        assert!(ran.out.contains(told), "{told} in {}", ran.out);
    }
    let ran = room.run(&["why", FILM, "table.flight.clean"]);
    assert!(
        ran.out.contains("owed to table.flight") && ran.out.contains("shot on day 1, 2027-05-14"),
        "{ran:?}"
    );
    let ran = room.run(&["why", FILM, "day 1"]);
    assert!(
        ran.out.starts_with("day 1: 2027-05-14: call ") && ran.out.contains("shoot 'The lid is pulled"),
        "{ran:?}"
    );
    assert_eq!(room.run(&["why", FILM, "2027-05-14"]).out, ran.out);
    let ran = room.run(&["why", FILM, "table.hnads"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("did you mean 'table.hands'?"), "{ran:?}");
    let names = room.run(&["why", FILM]).out;
    for name in names.lines().filter_map(|line| line.split_whitespace().last()) {
        assert_eq!(room.run(&["why", FILM, name, "--all"]).code, 0, "{name}");
    }
    assert!(names.lines().count() > 15, "{names}");
}

#[test]
fn explain_knows_every_rule_statement_and_recipe() {
    let room = Room::new("explain");
    let list = room.run(&["explain"]).out;
    let rules: Vec<&str> = list
        .lines()
        .take_while(|line| !line.is_empty())
        .filter_map(|line| line.split_whitespace().nth(1))
        .collect();
    assert!(rules.len() > 40 && rules.contains(&"join-offset"), "{rules:?}");
    for rule in rules {
        let ran = room.run(&["explain", rule]);
        assert!(ran.code == 0 && ran.out.contains(&format!("# {rule}")), "{rule}: {ran:?}");
    }
    assert_eq!(room.run(&["explain", "J01"]).out, room.run(&["explain", "join-offset"]).out);
    for word in ["plate", "runs", "turns_camera", "keyed_hands", "stitch"] {
        assert_eq!(room.run(&["explain", word]).code, 0, "{word}");
    }
    let ran = room.run(&["explain", "join-ofset"]);
    assert!(ran.code == 2 && ran.err.contains("did you mean 'join-offset'?"), "{ran:?}");
    assert!(room.run(&["explain", "--language"]).out.starts_with("# The language"));
    assert!(room.run(&["explain", "--recipe-files"]).out.contains("```yaml"));
}

#[test]
fn recipes_are_listed_and_shown_with_those_of_the_project() {
    let room = Room::with_film("recipes");
    let page = room.run(&["explain", "--recipe-files"]).out;
    let own = page.split("```yaml\n").nth(1).and_then(|rest| rest.split("```").next()).unwrap();
    let name = own
        .lines()
        .find_map(|line| line.strip_prefix("recipe: "))
        .and_then(|rest| rest.split_whitespace().next())
        .unwrap();
    room.write(&format!("film/recipes/{name}.yaml"), own);
    let builtin = room.run(&["recipes"]).out;
    assert!(builtin.contains("carried_objects") && !builtin.contains(name), "{builtin}");
    let ran = room.run(&["recipes", FILM]);
    assert!(ran.code == 0 && ran.out.contains(&format!("(recipes/{name}.yaml)")), "{ran:?}");
    assert_eq!(room.run(&["recipes", name, FILM]).code, 0);
    assert_eq!(room.run(&["recipes", name]).code, 2);
    assert!(room.run(&["recipes", "carried_objetcs"]).err.contains("did you mean 'carried_objects'?"));
    room.write("film/recipes/wrong.yaml", "recipe: wrong\ncolour: red\n");
    assert_eq!(room.run(&["recipes", FILM]).code, 1);
}

#[test]
fn usage_is_trouble_and_help_is_not() {
    let room = Room::new("usage");
    for args in
        [&["build", "a.seam"][..], &["chekc"], &[], &["check"], &["check", "a.seam", "--format", "xml"]]
    {
        let ran = room.run(args);
        assert_eq!(ran.code, 2, "{args:?}: {ran:?}");
    }
    for args in [&["--help"][..], &["--version"], &["build", "--help"], &["help", "why"]] {
        let ran = room.run(args);
        assert!(ran.code == 0 && !ran.out.is_empty() && ran.err.is_empty(), "{args:?}: {ran:?}");
    }
    let ran = room.run(&["check", "missing.seam", "--format", "json"]);
    assert_eq!(ran.code, 2);
    assert!(ran.json()["trouble"].as_str().unwrap().contains("missing.seam"), "{ran:?}");
}

#[test]
fn timings_name_every_stage_on_standard_error() {
    let room = Room::with_film("timings");
    let ran = room.run(&["build", FILM, "--out", "packet", "--timings"]);
    assert_eq!(ran.code, 0);
    for stage in ["syntax", "schema", "model", "recipes", "graph", "order", "rules", "packet", "write", "all"]
    {
        assert!(ran.err.lines().any(|line| line.starts_with(stage)), "{stage} in {}", ran.err);
    }
}

/// A reader that has seen enough, such as `head`, is no failure.
#[test]
fn a_reader_that_goes_away_is_no_trouble() {
    let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_seamster"))
        .args(["explain", "--language"])
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert!(output.status.success() && output.stderr.is_empty(), "{output:?}");
}
