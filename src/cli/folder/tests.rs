use super::*;

/// A folder of one test's own, gone after it.
struct Room(PathBuf);

impl std::ops::Deref for Room {
    type Target = Path;
    fn deref(&self) -> &Path {
        &self.0
    }
}

impl Drop for Room {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn room(name: &str) -> Room {
    let room = std::env::temp_dir().join(format!("seamster-folder-{}-{name}", std::process::id()));
    let _ = fs::remove_dir_all(&room);
    fs::create_dir_all(room.join("project")).unwrap();
    Room(room)
}

fn documents(texts: &[(&str, &str)]) -> Vec<Document> {
    texts
        .iter()
        .map(|(path, text)| Document { path: (*path).into(), bytes: text.as_bytes().to_vec() })
        .collect()
}

fn put(room: &Path, out: &str, texts: &[(&str, &str)]) -> Result<(), Trouble> {
    let label = Label { sequence: "test".into(), text: "0".repeat(64) };
    write(&room.join(out), &room.join("project"), &label, &documents(texts))
}

/// Everything in a room, hidden things too.
fn tree(room: &Path) -> Vec<String> {
    let mut paths = Vec::new();
    let mut open = vec![room.to_owned()];
    while let Some(at) = open.pop() {
        for entry in fs::read_dir(&at).unwrap() {
            let path = entry.unwrap().path();
            let name = path.strip_prefix(room).unwrap().to_string_lossy().into_owned();
            if path.is_dir() && !path.is_symlink() {
                open.push(path);
            }
            paths.push(name);
        }
    }
    paths.sort();
    paths
}

#[test]
fn a_packet_is_replaced_by_the_next_and_nothing_of_it_stays() {
    let room = room("replaced");
    put(&room, "packet", &[("index.html", "one"), ("plates/a.html", "a")]).unwrap();
    put(&room, "packet", &[("index.html", "two"), ("joins/b.html", "b")]).unwrap();
    let expected =
        ["packet", "packet/SEAMSTER", "packet/index.html", "packet/joins", "packet/joins/b.html", "project"];
    assert_eq!(tree(&room), expected);
    assert_eq!(fs::read_to_string(room.join("packet/index.html")).unwrap(), "two");
}

#[test]
fn what_somebody_added_or_changed_is_named_and_stays() {
    let room = room("touched");
    put(&room, "packet", &[("index.html", "one"), ("plates/a.html", "a")]).unwrap();
    fs::write(room.join("packet/plates/mine.txt"), "kept").unwrap();
    fs::create_dir(room.join("packet/pictures")).unwrap();
    fs::write(room.join("packet/plates/a.html"), "a, with my remarks").unwrap();
    let before = tree(&room);
    let trouble = put(&room, "packet", &[("index.html", "two")]).unwrap_err();
    for touched in ["plates/mine.txt (added)", "pictures (added)", "plates/a.html (changed)"] {
        assert!(trouble.message.contains(touched), "{trouble:?}");
    }
    assert_eq!(tree(&room), before);
    assert_eq!(fs::read_to_string(room.join("packet/index.html")).unwrap(), "one");
}

#[test]
fn a_deleted_document_and_what_desktops_leave_behind_hinder_nothing() {
    let room = room("litter");
    put(&room, "packet", &[("index.html", "one"), ("plates/a.html", "a")]).unwrap();
    fs::remove_file(room.join("packet/index.html")).unwrap();
    fs::write(room.join("packet/plates/.DS_Store"), [0u8; 4]).unwrap();
    put(&room, "packet", &[("index.html", "two")]).unwrap();
    assert_eq!(tree(&room), ["packet", "packet/SEAMSTER", "packet/index.html", "project"]);
}

#[test]
fn a_folder_with_anything_else_in_it_and_a_file_are_refused() {
    let room = room("foreign");
    fs::create_dir(room.join("photos")).unwrap();
    fs::write(room.join("photos/cat.jpg"), "cat").unwrap();
    fs::write(room.join("letter"), "text").unwrap();
    let before = tree(&room);
    assert!(put(&room, "photos", &[("index.html", "one")]).unwrap_err().message.contains("did not write"));
    assert!(put(&room, "letter", &[("index.html", "one")]).unwrap_err().message.contains("no folder"));
    assert_eq!(tree(&room), before);
}

#[test]
fn a_list_that_somebody_has_edited_protects_the_folder() {
    let room = room("list");
    put(&room, "packet", &[("index.html", "one")]).unwrap();
    let list = room.join("packet").join(LIST);
    let text = fs::read_to_string(&list).unwrap();
    for edited in
        [text.replace("sequence test", "sequence mine"), String::new(), "seamster packet 1\n".into()]
    {
        fs::write(&list, edited).unwrap();
        assert!(put(&room, "packet", &[("index.html", "two")]).is_err());
    }
    assert_eq!(fs::read_to_string(room.join("packet/index.html")).unwrap(), "one");
}

#[test]
fn the_projects_folder_and_those_around_it_are_refused() {
    let room = room("around");
    for out in ["project", "", "project/../project", "project/."] {
        let trouble = put(&room, out, &[("index.html", "one")]).unwrap_err();
        assert!(trouble.message.contains("the sequence lies in it"), "{out}: {trouble:?}");
    }
    put(&room, "project/packet", &[("index.html", "one")]).unwrap();
}

#[test]
fn an_empty_folder_is_used_and_a_missing_parent_is_named() {
    let room = room("empty");
    fs::create_dir(room.join("packet")).unwrap();
    put(&room, "packet", &[("index.html", "one")]).unwrap();
    let trouble = put(&room, "no/such/packet", &[("index.html", "one")]).unwrap_err();
    assert!(trouble.message.contains("there is no folder"), "{trouble:?}");
}

#[test]
fn a_document_that_would_leave_the_folder_or_stand_twice_stops_everything() {
    let room = room("names");
    for path in ["../escaped", "/tmp/escaped", "seamster", "INDEX.html"] {
        assert!(put(&room, "packet", &[("index.html", "one"), (path, "two")]).is_err(), "{path}");
        assert_eq!(tree(&room), ["project"]);
    }
}

#[cfg(unix)]
#[test]
fn a_link_to_a_packet_stays_a_link_and_one_to_nowhere_is_refused() {
    let room = room("link");
    put(&room, "real", &[("index.html", "one")]).unwrap();
    std::os::unix::fs::symlink(room.join("real"), room.join("packet")).unwrap();
    put(&room, "packet", &[("index.html", "two")]).unwrap();
    assert!(room.join("packet").is_symlink());
    assert_eq!(fs::read_to_string(room.join("real/index.html")).unwrap(), "two");
    std::os::unix::fs::symlink(room.join("nowhere"), room.join("lost")).unwrap();
    assert!(put(&room, "lost", &[("index.html", "two")]).unwrap_err().message.contains("leads nowhere"));
    fs::remove_file(room.join("real/index.html")).unwrap();
    std::os::unix::fs::symlink("/etc/hostname", room.join("real/index.html")).unwrap();
    assert!(
        put(&room, "real", &[("index.html", "three")]).unwrap_err().message.contains("index.html (added)")
    );
}
