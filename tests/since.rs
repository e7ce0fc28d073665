//! Packets that know their revision, and say what changed since the one handed out.

#![allow(clippy::disallowed_methods, reason = "tests read and write real files")]

use command::Room;

mod command;

#[test]
fn a_packet_marks_what_changed_since_another() {
    let room = Room::with_film("since");
    assert_eq!(room.run(&["build", "film/film.seam", "--out", "one", "--revision", "blue & grey"]).code, 0);
    let said = "revision “blue &amp; grey”";
    for page in ["one/index.html", "one/call-sheet-1.html"] {
        assert!(room.read(page).contains(said), "{page}");
    }
    // Nothing is different: every page says so, whatever the label.
    let build = |out: &str, since: &str| {
        room.run(&["build", "film/film.seam", "--out", out, "--revision", "green", "--since", since])
    };
    assert_eq!(build("same", "one").code, 0);
    for (path, bytes) in room.tree("same").iter().filter(|(path, _)| path.ends_with(".html")) {
        let text = String::from_utf8_lossy(bytes);
        if path.contains("phone") {
            continue;
        }
        assert!(
            text.contains("Nothing to act on has changed on this page since text")
                && !text.contains("class=\"heard\">"),
            "{path}"
        );
    }
    let sheet = room.read("film/film.seam");
    let plate = sheet.lines().find(|line| line.trim_start().starts_with("plate ")).expect("there is a plate");
    room.write("film/film.seam", sheet.replacen(plate, &plate.replacen('"', "\"Another: ", 1), 1));
    assert_eq!(build("two", "same").code, 0);
    let marked =
        room.tree("two").iter().filter(|(_, bytes)| String::from_utf8_lossy(bytes).contains("◆ ")).count();
    assert!(marked > 0);
    let wrong = build("three", "nothing-of-that-name");
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("folder of an earlier packet"), "{}", wrong.err);
}
