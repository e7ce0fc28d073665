//! Two versions side by side: edits planted into copies of the examples, with what
//! must be told of each, and what must hold of any two versions.

#![allow(clippy::disallowed_methods, reason = "tests read and write real files")]

use command::Room;
use project::{Edit, example, planted};
use seamster::Compiled;
use seamster::revise::{Change, Comparison, How, Papers, Side, compare, text};

mod command;
mod project;

/// Compares two versions of the same example.
fn compared(old: &Compiled, new: &Compiled) -> Comparison {
    assert!(!old.has_errors() && !new.has_errors(), "{:?} {:?}", old.diagnostics, new.diagnostics);
    let (old_packet, new_packet) = (old.packet(false), new.packet(false));
    let old_documents = old.documents(false, &[]).expect("the built-in templates are whole");
    let new_documents = new.documents(false, &[]).expect("the built-in templates are whole");
    compare(
        &Side { compiled: old, packet: &old_packet, documents: &old_documents },
        &Side { compiled: new, packet: &new_packet, documents: &new_documents },
    )
}

/// An example against itself with edits.
fn edited(name: &str, edits: &[Edit<'_>]) -> Comparison {
    compared(&example(name), &planted(name, edits))
}

/// `gone beat sorting`, for each.
fn heads(changes: &[Change]) -> Vec<String> {
    changes.iter().map(|one| format!("{} {} {}", one.how.word(), one.kind, one.path)).collect()
}

/// `hours: 05:00..22:30 → 06:10..22:30`, for each.
fn words(change: &Change) -> Vec<String> {
    let told = |value: &Option<String>| value.clone().unwrap_or_else(|| "-".to_owned());
    change.words.iter().map(|one| format!("{}: {} → {}", one.what, told(&one.old), told(&one.new))).collect()
}

/// Names of the papers that are void.
fn void(papers: &Papers) -> Vec<&str> {
    papers.void.iter().map(|one| one.name.as_str()).collect()
}

/// Words of a beat as they stand in the example.
fn beat(name: &str, file: &str, from: &str, to: &str) -> String {
    let path = format!("{}/examples/{name}/{file}", env!("CARGO_MANIFEST_DIR"));
    let whole = std::fs::read_to_string(path).expect("the example is there");
    let start = whole.find(from).expect("it begins there");
    let end = whole.find(to).expect("it ends there");
    whole[start..end].to_owned()
}

const FILM: &str = "night-parcel.seam";

#[test]
fn a_version_and_itself_are_the_same() {
    for name in ["night-parcel", "table-top", "one-look"] {
        let compiled = example(name);
        let comparison = compared(&compiled, &compiled);
        assert!(comparison.nothing, "{comparison:#?}");
        assert!(comparison.people.is_empty());
        assert!(text(&comparison, None).contains("nothing changed"));
    }
}

#[test]
fn layout_comments_and_units_are_no_change() {
    let comparison = edited(
        "night-parcel",
        &[(FILM, "    lasts   60 s\n", "    # as long as the light holds\n\n    lasts   1 min\n")],
    );
    assert_ne!(comparison.old, comparison.new);
    // The line numbers of everything below have moved.
    assert!(comparison.nothing, "{comparison:#?}");
    assert!(text(&comparison, None).contains("layout or their comments"));
}

#[test]
fn a_beat_that_is_cut_takes_its_plates_passes_and_hours_with_it() {
    let sorting = beat("night-parcel", FILM, "beat sorting", "beat leap");
    let comparison = edited("night-parcel", &[(FILM, &sorting, "")]);
    assert_eq!(
        heads(&comparison.written),
        [
            "gone beat sorting",
            "gone plate sorting.left",
            "gone plate sorting.middle",
            "gone plate sorting.right",
            "gone effect sorting.trio"
        ]
    );
    let derived = heads(&comparison.derived);
    for gone in ["clean plate sorting.trio.clean", "pass sorting.trio.comp", "pass sorting.left.ingest"] {
        assert!(derived.contains(&format!("gone {gone}")), "{gone}: {derived:?}");
    }
    for plate in ["left", "middle", "right"] {
        assert!(comparison.papers.gone.contains(&format!("plates/sorting-{plate}")));
        let path = format!("sorting.{plate}");
        let shot = comparison.moved.iter().find(|one| one.path == path).expect("it was shot");
        assert!(shot.old.is_some() && shot.new.is_none(), "{shot:?}");
    }
    assert!(void(&comparison.papers).contains(&"index"));
    // What is laid together of all beats is laid together anew.
    let again: Vec<&str> = comparison.again.iter().map(|one| one.pass.as_str()).collect();
    assert!(again.contains(&"assembly") && again.contains(&"delivery.master"), "{again:?}");
    // What stands on other beats alone is not.
    assert!(!again.iter().any(|pass| pass.starts_with("ropewalk.") || pass.starts_with("bench.")));
    let desk = comparison.costs.iter().find(|one| one.what == "work at the desk").expect("it costs less");
    assert!(desk.by.ends_with("less"), "{desk:?}");
    let finish = comparison.finish.expect("the finish moves");
    assert!(finish.old.is_some() && finish.new.is_some() && finish.old != finish.new);
}

#[test]
fn a_join_that_is_added_is_new_with_its_card_and_passes() {
    let (words, by) = (
        "  join roofs.flyover -> door by dissolve { overlap 12 frames }",
        "  join roofs.flyover -> door by dissolve { overlap 12 frames }\n  join door -> mend by dissolve { overlap 6 frames }",
    );
    let comparison = edited("night-parcel", &[(FILM, words, by)]);
    assert_eq!(heads(&comparison.written), ["new join home.door->home.mend"]);
    let derived = heads(&comparison.derived);
    assert!(derived.contains(&"new pass home.door->home.mend.blend".to_owned()), "{derived:?}");
    assert!(comparison.papers.new.contains(&"joins/home-door-to-home-mend".to_owned()));
    assert!(comparison.papers.gone.is_empty());
}

#[test]
fn a_title_that_is_renamed_starts_nothing_over() {
    let comparison = edited("night-parcel", &[(FILM, "\"Down from the gantry\"", "\"Down the cable\"")]);
    assert_eq!(heads(&comparison.written), ["changed plate leap.swoop"]);
    assert_eq!(words(&comparison.written[0]), ["title: “Down from the gantry” → “Down the cable”"]);
    assert!(comparison.again.is_empty() && comparison.moved.is_empty() && comparison.costs.is_empty());
    for paper in ["plates/leap-swoop", "call-sheet-1", "joins/leap-swoop-to-leap-land"] {
        assert!(void(&comparison.papers).contains(&paper), "{paper}: {:?}", comparison.papers);
    }
    assert!(!void(&comparison.papers).contains(&"plates/bench-hands"));
}

#[test]
fn hours_of_a_person_move_their_call_and_are_on_their_page() {
    let comparison = edited("night-parcel", &[("people.seam", "05:00..22:30", "06:10..22:30")]);
    assert_eq!(heads(&comparison.written), ["changed person ines"]);
    assert_eq!(words(&comparison.written[0]), ["hours: 05:00..22:30 → 06:10..22:30"]);
    let call = comparison.calls.iter().find(|one| one.person == "ines").expect("her call moves");
    assert_eq!((call.day.as_str(), call.old.as_deref()), ("Fri 14 May", Some("06:02 to 06:54")));
    let now = call.new.as_deref().expect("she is called");
    assert!(now >= "06:10", "{now}");
    assert!(comparison.again.is_empty(), "{:?}", comparison.again);
    let page = comparison.people.iter().find(|page| page.path == "ines").expect("she has a page");
    assert_eq!(heads(&page.written), ["changed person ines"]);
    assert!(page.calls.iter().all(|one| one.person == "ines") && !page.calls.is_empty());
    assert!(void(&page.papers).contains(&"call-sheet-1"), "{:?}", page.papers);
    assert!(comparison.untouched.iter().any(|one| one.name == "Sound, by Jon"), "{:?}", comparison.untouched);
}

#[test]
fn a_void_paper_says_what_of_it_changed() {
    let comparison = edited("night-parcel", &[(FILM, "    tilt   -30 deg\n", "    tilt   -26 deg\n")]);
    let card =
        comparison.papers.void.iter().find(|one| one.name == "plates/bench-hands").expect("it is void");
    let tilt = card.changes.iter().find(|one| one.what == "Tilt").expect("the tilt is another");
    assert_eq!((tilt.old.as_deref(), tilt.new.as_deref()), (Some("30° down"), Some("26° down")));
    // Whoever packs, drives or waits does nothing else.
    let papers = void(&comparison.papers);
    assert!(!papers.iter().any(|name| name.starts_with("call-sheet") || *name == "index"), "{papers:?}");
    let told = text(&comparison, None);
    assert!(told.contains("plates/bench-hands: Tilt: 30° down → 26° down"), "{told}");
}

#[test]
fn a_plate_that_is_renamed_is_seen_as_one() {
    let edits: &[Edit<'_>] = &[
        (FILM, "plate swoop \"", "plate dive \""),
        (FILM, "after        swoop", "after        dive"),
        (FILM, "join step_off -> swoop", "join step_off -> dive"),
        (FILM, "join swoop -> land", "join dive -> land"),
    ];
    let comparison = edited("night-parcel", edits);
    assert_eq!(heads(&comparison.written), ["renamed plate leap.dive"]);
    assert_eq!(comparison.written[0].was.as_deref(), Some("leap.swoop"));
    assert!(comparison.written[0].words.is_empty());
    assert!(comparison.derived.is_empty(), "{:?}", heads(&comparison.derived));
    assert!(comparison.again.is_empty(), "{:?}", comparison.again);
    assert!(comparison.papers.gone.contains(&"plates/leap-swoop".to_owned()));
    assert!(comparison.papers.new.contains(&"plates/leap-dive".to_owned()));
}

#[test]
fn a_beat_that_is_renamed_takes_its_plates_along() {
    let edits: &[Edit<'_>] =
        &[(FILM, "beat sorting \"Three couriers, one shelf\"", "beat shelf \"Three of her\"")];
    let comparison = edited("night-parcel", edits);
    assert_eq!(heads(&comparison.written), ["renamed beat shelf"]);
    assert_eq!(words(&comparison.written[0]), ["title: “Three couriers, one shelf” → “Three of her”"]);
    assert!(comparison.again.is_empty(), "{:?}", comparison.again);
}

/// The same comparison, looked at from the other end.
fn mirrored(comparison: &Comparison) -> (Vec<String>, Vec<String>, Vec<String>) {
    let changes = comparison.written.iter().chain(&comparison.derived);
    let mut heads: Vec<String> = changes
        .clone()
        .map(|one| {
            let (how, path) = match (one.how, &one.was) {
                (How::New, _) => (How::Gone, &one.path),
                (How::Gone, _) => (How::New, &one.path),
                (how, Some(was)) => (how, was),
                (how, None) => (how, &one.path),
            };
            format!("{} {} {path}", how.word(), one.kind)
        })
        .collect();
    let mut words: Vec<String> = changes
        .flat_map(|one| &one.words)
        .map(|one| format!("{} {:?} {:?}", one.what, one.new, one.old))
        .collect();
    let calls =
        comparison.calls.iter().map(|one| format!("{} {} {:?} {:?}", one.person, one.day, one.new, one.old));
    let days = comparison.days.iter().map(|one| format!("{:?} {:?}", one.new, one.old));
    let mut plans: Vec<String> = calls.chain(days).collect();
    plans.extend(void(&comparison.papers).iter().map(|one| format!("void {one}")));
    plans.extend(comparison.papers.gone.iter().map(|one| format!("new {one}")));
    plans.extend(comparison.papers.new.iter().map(|one| format!("gone {one}")));
    heads.sort();
    words.sort();
    plans.sort();
    (heads, words, plans)
}

/// As [`mirrored`], from this end.
fn straight(comparison: &Comparison) -> (Vec<String>, Vec<String>, Vec<String>) {
    let changes = comparison.written.iter().chain(&comparison.derived);
    let mut heads: Vec<String> =
        changes.clone().map(|one| heads(std::slice::from_ref(one)).concat()).collect();
    let mut words: Vec<String> = changes
        .flat_map(|one| &one.words)
        .map(|one| format!("{} {:?} {:?}", one.what, one.old, one.new))
        .collect();
    let calls =
        comparison.calls.iter().map(|one| format!("{} {} {:?} {:?}", one.person, one.day, one.old, one.new));
    let days = comparison.days.iter().map(|one| format!("{:?} {:?}", one.old, one.new));
    let mut plans: Vec<String> = calls.chain(days).collect();
    plans.extend(void(&comparison.papers).iter().map(|one| format!("void {one}")));
    plans.extend(comparison.papers.gone.iter().map(|one| format!("gone {one}")));
    plans.extend(comparison.papers.new.iter().map(|one| format!("new {one}")));
    heads.sort();
    words.sort();
    plans.sort();
    (heads, words, plans)
}

#[test]
fn swapped_it_is_the_mirror_image() {
    let sorting = beat("night-parcel", FILM, "beat sorting", "beat leap");
    let edits: &[Edit<'_>] = &[
        (FILM, &sorting, ""),
        (FILM, "plate swoop \"", "plate dive \""),
        (FILM, "after        swoop", "after        dive"),
        (FILM, "join step_off -> swoop", "join step_off -> dive"),
        (FILM, "join swoop -> land", "join dive -> land"),
        (FILM, "lasts   60 s", "lasts   90 s"),
        ("people.seam", "05:00..22:30", "06:10..22:30"),
    ];
    let (old, new) = (example("night-parcel"), planted("night-parcel", edits));
    assert_eq!(straight(&compared(&old, &new)), mirrored(&compared(&new, &old)));
}

#[test]
fn every_format_says_the_same_and_each_person_has_a_page() {
    let room = Room::new("formats");
    let folder = format!("{}/examples/night-parcel", env!("CARGO_MANIFEST_DIR"));
    for file in ["night-parcel.seam", "kit.seam", "people.seam"] {
        room.write(&format!("new/{file}"), std::fs::read(format!("{folder}/{file}")).expect("it is there"));
    }
    room.edit("new/people.seam", "05:00..22:30", "06:10..22:30");
    let told = "06:02 to 06:54 → 06:10 to";
    for format in ["text", "markdown", "html", "json"] {
        let ran = room.run(&["compare", &folder, "new", "--format", format]);
        assert_eq!(ran.code, 0, "{ran:?}");
        if format == "json" {
            let call = &ran.json()["calls"][0];
            assert_eq!((&call["person"], &call["old"]), (&"ines".into(), &"06:02 to 06:54".into()));
        } else {
            assert!(ran.out.contains(told), "{format}: {}", ran.out);
        }
        let again = room.run(&["compare", &folder, "new", "--format", format]);
        assert_eq!(again.out, ran.out, "the same twice");
    }
    for whom in ["ines", "Inês"] {
        let ran = room.run(&["compare", &folder, "new", "--for", whom]);
        assert!(ran.out.contains("What is different for Inês") && ran.out.contains(told), "{ran:?}");
    }
    let ran = room.run(&["compare", &folder, "new", "--for", "Sound, by Jon"]);
    assert!(ran.out.contains("nothing changed for you"), "{ran:?}");
    assert_eq!(room.run(&["compare", &folder, "new", "--for", "Iness"]).code, 2);
    let ran = room.run(&["compare", &folder, "new", "--out", "told"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(room.read("told/for-ines.md").contains(told));
    assert!(room.read("told/index.html").contains("href=\"for-ines.html\""));
    assert!(!room.path("told/for-sound.md").exists());
}

#[test]
fn a_version_that_does_not_compile_says_so() {
    let room = Room::with_film("broken");
    let text = room.read("film/film.seam").replacen("\nsequence", "\nsequense", 1);
    room.write("old/film.seam", text);
    room.write("old/kit.seam", room.read("film/kit.seam"));
    let ran = room.run(&["compare", "old/film.seam", "film"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{ran:?}");
    assert!(ran.err.contains("sequense") && ran.err.contains("the old version, 'old/film.seam', has errors"));
    let ran = room.run(&["compare", "film", "old/film.seam", "--format", "json"]);
    assert_eq!(ran.code, 2, "{ran:?}");
    let object = ran.json();
    assert!(object["errors"].as_u64() > Some(0), "{object}");
    assert!(object["trouble"].as_str().is_some_and(|told| told.contains("the new version")), "{object}");
    let ran = room.run(&["compare", "old", "film"]);
    assert!(ran.code == 2 && ran.err.contains("no file in 'old' holds a sequence"), "{ran:?}");
}
