struct One(String);
impl seamster::Reader for One {
    fn read(&mut self, _: &str) -> Result<Vec<u8>, String> {
        Ok(self.0.clone().into_bytes())
    }
    fn recipes(&mut self) -> Result<Vec<String>, String> {
        Ok(Vec::new())
    }
}
#[test]
fn pages() {
    let only = std::env::var("RULE").ok();
    for rule in seamster::rule::all() {
        if !(rule.code.id.starts_with('J') || rule.code.id.starts_with('P')) {
            continue;
        }
        if only.as_deref().is_some_and(|o| o != rule.code.name) {
            continue;
        }
        for (n, text) in rule.page.split("```seam\n").skip(1).enumerate() {
            let text = text.split("```").next().unwrap();
            let loaded = seamster::load(&mut One(text.to_owned()), "x.seam").unwrap();
            let c = seamster::compile(loaded, &mut |_| ());
            let has = c.diagnostics.iter().any(|d| d.code == rule.code);
            let ok = has == (n == 0);
            println!(
                "{} {} {} {}",
                if ok { "ok  " } else { "FAIL" },
                rule.code.name,
                ["bad", "good"][n],
                c.diagnostics.len()
            );
            for d in &c.diagnostics {
                let show = d.code == rule.code
                    || only.is_some()
                    || d.severity == seamster::diagnostic::Severity::Error;
                if show {
                    println!(
                        "    {} {} {}: {}",
                        d.code.id,
                        d.severity.word(),
                        c.sources.at(d.span.unwrap_or(seamster::source::Span {
                            file: seamster::source::FileId(0),
                            start: 0,
                            end: 0
                        })),
                        d.message
                    );
                    println!("        label: {}", d.label);
                    for o in &d.others {
                        println!("        other: {}", o.text);
                    }
                    for o in &d.notes {
                        println!("        note: {}", o);
                    }
                    if let Some(h) = &d.help {
                        println!("        help: {h}");
                    }
                } else {
                    println!("    ({} {})", d.code.name, d.message);
                }
            }
            if only.is_some() {
                for i in &c.findings.instructions {
                    if i.rule.starts_with(rule.code.name) {
                        println!("    > {:?} {}: {} [{}]", i.about, i.topic, i.text, i.how);
                    }
                }
            }
        }
    }
}
