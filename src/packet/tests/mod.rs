//! Whole packets, from values built by hand to bytes.

mod fixture;

use super::{Document, render};
use fixture::Fixture;

/// A title that tries everything at once.
const HOSTILE: &str = "<script>alert(1)</script> | *b* {{ 7*7 }} {% raw %} \"'& =1+1 </style>";

fn documents(fixture: &mut Fixture) -> Vec<Document> {
    render(&fixture.packet(), &[]).expect("the built-in templates are sound")
}

fn text<'a>(documents: &'a [Document], path: &str) -> &'a str {
    let found = documents.iter().find(|document| document.path == path);
    let found = found.unwrap_or_else(|| panic!("no {path} among {:?}", paths(documents)));
    std::str::from_utf8(&found.bytes).expect("documents are UTF-8")
}

fn paths(documents: &[Document]) -> Vec<&str> {
    documents.iter().map(|document| document.path.as_str()).collect()
}

#[test]
fn a_packet_holds_every_document_twice() {
    let documents = documents(&mut Fixture::new("Night Parcel"));
    insta::assert_snapshot!(paths(&documents).join("\n"));
}

#[test]
fn the_markdown_of_a_small_packet() {
    let documents = documents(&mut Fixture::new("Night Parcel"));
    for document in documents.iter().filter(|document| document.path.ends_with(".md")) {
        if !document.path.starts_with("rules/") {
            let name = document.path.replace('/', "-");
            insta::assert_snapshot!(name, text(&documents, &document.path));
        }
    }
}

/// Each picture in both variants, one mark a line.
#[test]
fn the_pictures_of_a_small_packet() {
    let packet = Fixture::new("Night Parcel").packet();
    for (file, name) in [("desk-plan", "desk")] {
        let picture = packet.pictures.get(file, name).expect("it is drawn");
        let marks = picture.figure().replace("><", ">\n<");
        insta::assert_snapshot!(format!("picture-{name}"), marks);
    }
}

#[test]
fn the_tables_of_a_small_packet() {
    let documents = documents(&mut Fixture::new("Night Parcel"));
    insta::assert_snapshot!("passes.csv", text(&documents, "passes.csv"));
    insta::assert_snapshot!("ingest.csv", text(&documents, "ingest.csv"));
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    assert_eq!(documents(&mut Fixture::new("Night Parcel")), documents(&mut Fixture::new("Night Parcel")));
}

#[test]
fn every_document_names_sequence_and_version_and_says_when_it_is_a_draft() {
    let mut fixture = Fixture::new("Night Parcel");
    let version = fixture.packet().head.version.clone();
    assert_eq!(version.len(), 10);
    for document in documents(&mut fixture) {
        let text = std::str::from_utf8(&document.bytes).unwrap();
        if document.path.ends_with(".edl") {
            // A decision list is read by machines that know capitals only.
            assert!(text.to_uppercase().contains("NIGHT PARCEL"), "{}", document.path);
        } else if document.path == "packet.schema.json" {
            // It says what every packet holds, whichever it lies in.
            assert!(!text.contains(&version));
        } else if !document.path.ends_with(".csv") {
            assert!(text.contains("Night Parcel") && text.contains(&version), "{}", document.path);
            assert!(!text.contains("DRAFT"), "{}", document.path);
        }
    }
    fixture.draft = true;
    for document in documents(&mut fixture) {
        let text = std::str::from_utf8(&document.bytes).unwrap();
        if document.path.ends_with(".html") {
            // A page for a phone has no print head.
            let times = if document.path.starts_with("phone-") { 2 } else { 3 };
            assert_eq!(
                text.matches("DRAFT").count(),
                times,
                "title, page and print head of {}",
                document.path
            );
        } else if document.path.ends_with(".md") {
            assert!(text.starts_with("**DRAFT"), "{}", document.path);
        }
    }
}

/// A document's words; of a page for a phone, without the one script that is its
/// own and the line that forbids it to fetch anything.
fn without_our_script(document: &Document) -> String {
    let text = std::str::from_utf8(&document.bytes).unwrap();
    if !document.path.starts_with("phone-") {
        return text.to_owned();
    }
    let script = format!("<script>\n{}</script>", include_str!("../../../templates/phone.js"));
    assert_eq!(text.matches(&script).count(), 1, "{}", document.path);
    let forbids = text.lines().find(|line| line.contains("default-src 'none'")).unwrap();
    text.replace(&script, "").replace(forbids, "")
}

#[test]
fn a_hostile_title_is_carried_as_words() {
    let mut fixture = Fixture::new(HOSTILE);
    let plate = fixture.breakdown.plates.ids().next().unwrap();
    fixture.breakdown.plates[plate].named.title = Some(HOSTILE.into());
    fixture.model.places[fixture.breakdown.plates[plate].place].named.title = Some(HOSTILE.into());
    for document in documents(&mut fixture) {
        let text = &without_our_script(&document);
        match document.path.rsplit('.').next() {
            Some("html") => {
                assert!(!text.contains("<script"), "{}", document.path);
                assert_eq!(text.matches("</style>").count(), 1, "{}", document.path);
                assert!(text.contains("{{ 7*7 }}"), "{}", document.path);
            }
            Some("md") => {
                assert!(!text.replace("\\<", "").contains("<script"), "{}", document.path);
                assert!(!text.contains(" | *b*"), "{}", document.path);
                assert!(text.contains("\\{\\{ 7\\*7 \\}\\}"), "{}", document.path);
            }
            _ => {}
        }
    }
}

/// WHATWG HTML: what fetches over the network is `src`, `href`, `url()` and
/// `@import`; a packet holds only links to its own documents, to places on the
/// page and to positions (RFC 5870).
#[test]
fn no_html_points_outside_the_packet() {
    let documents = documents(&mut Fixture::new("See https://example.org/ <img src=//example.org>"));
    let all = paths(&documents);
    for document in documents.iter().filter(|document| document.path.ends_with(".html")) {
        // A picture's own fillings.
        let text = &without_our_script(document).replace("url(#p-", "");
        for forbidden in ["<script", "<link", "<img", "<iframe", "url(", "@import", "http-equiv"] {
            assert!(!text.contains(forbidden), "{forbidden} in {}", document.path);
        }
        for tag in text.split('<').skip(1).map(|rest| rest.split('>').next().unwrap()) {
            assert!(!tag.contains(" src=") && !tag.contains(" on"), "{tag} in {}", document.path);
        }
        for part in text.split("href=\"").skip(1) {
            let target = part.split('"').next().unwrap();
            if target.starts_with('#') || target.starts_with("geo:") {
                continue;
            }
            let inside = target.trim_start_matches("../");
            assert!(all.contains(&inside), "{target} in {}", document.path);
            assert_eq!(
                target.starts_with("../"),
                document.path.contains('/'),
                "{target} in {}",
                document.path
            );
        }
    }
}

/// WHATWG HTML, 3.1 and 4: one title, one main, one h1, a language, cells under named headers.
#[test]
fn html_has_landmarks_and_balanced_elements() {
    for document in documents(&mut Fixture::new("Night Parcel")) {
        if !document.path.ends_with(".html") {
            continue;
        }
        let text = std::str::from_utf8(&document.bytes).unwrap();
        for once in
            ["<html lang=\"en\">", "<main ", "<h1", "<header>", "<footer>", "name=\"viewport\"", "<title>"]
        {
            assert_eq!(text.matches(once).count(), 1, "{once} in {}", document.path);
        }
        for element in
            ["div", "p", "ul", "ol", "li", "dl", "table", "tr", "td", "th", "section", "article", "a"]
        {
            let opened =
                text.matches(&format!("<{element}>")).count() + text.matches(&format!("<{element} ")).count();
            let closed = text.matches(&format!("</{element}>")).count();
            assert_eq!(opened, closed, "<{element}> in {}", document.path);
        }
        assert_eq!(text.matches("<th>").count(), 0, "a header without scope in {}", document.path);
    }
}

#[test]
fn what_is_in_no_plan_is_named_loudly_with_its_reasons() {
    let documents = documents(&mut Fixture::new("Night Parcel"));
    for path in ["index.html", "index.md", "call-sheet-1.html", "call-sheet-1.md", "plates/leap-reach.html"] {
        assert!(
            text(&documents, path).contains("the loft closes before the screen is up (parcel.seam:2)"),
            "{path}"
        );
    }
    assert!(text(&documents, "desk-plan.md").contains("nobody does sound"));
    assert!(paths(&documents).contains(&"cards-unplanned.html"));
}

#[test]
fn every_instruction_is_printed_for_someone() {
    let mut fixture = Fixture::new("Night Parcel");
    let told = fixture.tell_everything();
    let documents = documents(&mut fixture);
    let page = |ending: &str| -> String {
        let pages = documents.iter().filter(|document| document.path.ends_with(ending));
        pages.map(|document| String::from_utf8(document.bytes.clone()).unwrap()).collect()
    };
    let (html, markdown) = (page(".html"), page(".md"));
    for text in told {
        assert!(html.contains(&format!(">{text}<")), "{text} in HTML");
        assert!(markdown.contains(&format!("**{text}**")), "{text} in Markdown");
    }
}

#[test]
fn a_template_of_the_project_replaces_a_built_in_one() {
    let mut fixture = Fixture::new("Night Parcel");
    let own = [
        ("rule.md".to_owned(), "x".to_owned()),
        ("plate.html".to_owned(), "own {{ head.title }}".to_owned()),
    ];
    let documents = render(&fixture.packet(), &own).unwrap();
    assert_eq!(text(&documents, "plates/leap-land.html"), "own Night Parcel");
}

#[test]
fn a_wrong_template_is_named_with_its_line() {
    let mut fixture = Fixture::new("Night Parcel");
    let packet = fixture.packet();
    let wrong = |name: &str, text: &str| render(&packet, &[(name.to_owned(), text.to_owned())]).unwrap_err();
    let undefined = wrong("plate.html", "a\n{{ view.tilte }}");
    assert_eq!((undefined.template.as_str(), undefined.line), ("plate.html", Some(2)));
    let syntax = wrong("plate.html", "a\n{% if %}");
    assert_eq!((syntax.template.as_str(), syntax.line), ("plate.html", Some(2)));
    let none = wrong("plate.html", "{{ none }}");
    assert!(none.message.contains("none"), "{none}");
    let endless = wrong("plate.html", "{% macro m() %}{{ m() }}{% endmacro %}{{ m() }}");
    assert_eq!(endless.template, "plate.html");
    let unknown = wrong("plates.html", "");
    assert_eq!(unknown.help.as_deref(), Some("did you mean 'plate.html'?"));
}

#[test]
fn a_template_that_counts_for_ever_runs_out_of_fuel() {
    let mut fixture = Fixture::new("Night Parcel");
    let text = "{% for a in range(99999) %}{% for b in range(99999) %}{% endfor %}{% endfor %}";
    let error = render(&fixture.packet(), &[("cover.html".to_owned(), text.to_owned())]).unwrap_err();
    assert!(error.message.contains("fuel"), "{error}");
}

#[test]
fn packet_json_names_its_shape() {
    let documents = documents(&mut Fixture::new("Night Parcel"));
    let json: serde_json::Value = serde_json::from_str(text(&documents, "packet.json")).unwrap();
    assert_eq!(json["schema"], super::exchange::json::SCHEMA);
    assert_eq!(json["head"]["path"], "parcel");
    assert_eq!(json["plates"].as_array().unwrap().len(), 5);
    assert_eq!(json["call_sheets"][0]["steps"][0]["start_at"], "2027-05-14T05:15:00+01:00");
}

/// FIPS 180-4 by way of `sha256sum`: two lengths as eight bytes each, then the bytes.
#[test]
fn the_version_is_the_hash_of_names_and_texts() {
    let mut sources = crate::source::Sources::default();
    assert_eq!(
        super::text_hash(&sources),
        "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
        "of nothing, as published"
    );
    sources.add("a", "bc");
    let one = super::text_hash(&sources);
    let mut other = crate::source::Sources::default();
    other.add("ab", "c");
    assert_ne!(one, super::text_hash(&other));
}
