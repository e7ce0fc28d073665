use super::*;

const GLOW: &str = "recipe: glow\ntitle: Glow\nsummary: A glow.\nkind: effect\nroles:\n  - role: 'on'\n    title: the plate\npasses:\n  - pass: comp\n    title: Comp\n    department: comp\n    effort: 1\n    inputs: ['on']\n";

fn project(texts: &[&str]) -> (Library, Vec<Diagnostic>, Sources) {
    let mut sources = Sources::default();
    let files: Vec<FileId> =
        texts.iter().enumerate().map(|(at, text)| sources.add(format!("recipes/{at}.yaml"), *text)).collect();
    let (library, diagnostics) = Library::with_project(&sources, &files);
    (library, diagnostics, sources)
}

/// The one error of a recipe, its line, and the words at fault.
fn mistake(text: &str) -> (String, usize, String) {
    let (library, diagnostics, sources) = project(&[text]);
    assert_eq!(diagnostics.len(), 1, "{diagnostics:#?}");
    assert_eq!(library, Library::builtin(), "a recipe with mistakes is left out");
    let diagnostic = &diagnostics[0];
    assert_eq!((diagnostic.code, diagnostic.severity), (codes::RECIPE, Severity::Error));
    let span = diagnostic.span.unwrap();
    (diagnostic.message.clone(), sources.position(span).line, sources.text(span).to_owned())
}

#[test]
fn every_built_in_recipe_is_whole() {
    for (name, text) in BUILTIN {
        let recipe = read::read(text).unwrap_or_else(|problem| panic!("{name}: {}", problem.message));
        assert_eq!(recipe.recipe, *name);
        let problems = check::check(&recipe, text);
        assert!(problems.is_empty(), "{name}: {problems:#?}");
        assert!(recipe.kind != Kind::Effect || !recipe.cues.is_empty(), "{name} suggests no sound");
        assert!(
            recipe.roles.iter().all(|role| recipe.kind != Kind::Effect || !role.demands.is_empty()),
            "{name}"
        );
    }
    assert_eq!(Library::builtin().entries().len(), BUILTIN.len());
}

#[test]
fn a_small_crew_covers_every_built_in_pass() {
    let crew = ["edit", "roto", "paint", "comp", "key", "retime", "track", "cg", "sound"];
    for entry in Library::builtin().entries() {
        for pass in &entry.recipe.passes {
            let covered = crew.contains(&pass.department.as_str())
                || pass.or.iter().any(|department| crew.contains(&department.as_str()));
            assert!(covered, "{} {}", entry.recipe.recipe, pass.pass);
        }
    }
}

#[test]
fn a_project_adds_its_own_and_wins_with_a_note() {
    let retime = GLOW.replace("glow", "retime");
    let (library, diagnostics, _) = project(&[GLOW, &retime]);
    assert!(library.find("glow").is_some());
    assert_eq!(library.find("retime").map(|recipe| recipe.title.as_str()), Some("Glow"));
    assert_eq!(diagnostics.len(), 1);
    assert_eq!(diagnostics[0].severity, Severity::Note);
    assert!(diagnostics[0].message.contains("in place of the built-in one"));
    let (_, diagnostics, _) = project(&[GLOW, GLOW]);
    assert!(diagnostics[0].message.contains("a second file holds a recipe 'glow'"));
}

#[test]
fn a_pass_that_waits_for_itself_is_an_error_at_its_line() {
    let text = format!("{GLOW}    waits:\n      - {{ pass: comp, because: why not }}\n");
    let (message, line, words) = mistake(&text);
    assert_eq!(message, "the pass 'comp' waits for itself");
    assert_eq!((line, words.as_str()), (15, "comp"));
}

#[test]
fn passes_that_wait_in_a_circle_are_an_error() {
    let text = format!(
        "{GLOW}    waits:\n      - {{ pass: mask, because: a }}\n  - pass: mask\n    title: M\n    department: roto\n    effort: 1\n    waits:\n      - {{ pass: comp, because: b }}\n"
    );
    let (message, _, _) = mistake(&text);
    assert_eq!(message, "passes wait for each other in a circle: comp waits for mask waits for comp");
}

#[test]
fn a_missing_pass_and_a_role_that_nothing_uses_are_errors() {
    let text = format!("{GLOW}    waits:\n      - {{ pass: conp, because: why }}\n");
    let (message, line, words) = mistake(&text);
    assert_eq!(message, "the pass 'comp' waits for 'conp', which is not there");
    assert_eq!((line, words.as_str()), (15, "conp"));
    let text = GLOW.replace("passes:", "  - role: spare\n    title: unused\npasses:");
    let (message, line, words) = mistake(&text);
    assert_eq!(message, "nothing uses the role 'spare'");
    assert_eq!((line, words.as_str()), (8, "- role: spare"));
}

#[test]
fn sums_are_checked_when_the_recipe_is_read() {
    let (message, line, words) = mistake(&GLOW.replace("effort: 1", "effort: 1 + secnds"));
    assert_eq!(message, "the sum of 'comp' uses 'secnds', which is not known");
    assert_eq!((line, words.as_str()), (12, "secnds"));
    let (message, line, _) = mistake(&GLOW.replace("effort: 1", "effort: 1 +"));
    assert!(message.contains("the sum ends where a number or a name is expected"), "{message}");
    assert!((9..=12).contains(&line), "{line}");
}

#[test]
fn names_given_twice_and_unknown_keys_are_errors() {
    let twice =
        GLOW.replace("passes:", "quantities:\n  - { quantity: comp, dimension: length, doc: x }\npasses:");
    assert!(mistake(&twice).0.contains("the name 'comp' is given to a quantity and again to a pass"));
    let (message, line, _) = mistake(&GLOW.replace("    department", "    colour: red\n    department"));
    assert!(message.contains("unknown field `colour`"), "{message}");
    assert_eq!(line, 11);
    assert!(mistake(&GLOW.replace("recipe: glow", "recipe: stitch")).0.contains("taken by another kind"));
    assert!(mistake("").0.contains("cannot be read"));
    assert!(mistake("- a\n- b\n").0.contains("cannot be read"));
}
