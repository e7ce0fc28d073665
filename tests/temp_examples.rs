struct Dir(std::path::PathBuf);
impl seamster::Reader for Dir {
    fn read(&mut self, p: &str) -> Result<Vec<u8>, String> {
        std::fs::read(self.0.join(p)).map_err(|e| e.to_string())
    }
    fn recipes(&mut self) -> Result<Vec<String>, String> {
        Ok(Vec::new())
    }
}
#[test]
fn examples() {
    for name in ["night-parcel", "table-top", "one-look"] {
        let loaded =
            seamster::load(&mut Dir(format!("examples/{name}").into()), &format!("{name}.seam")).unwrap();
        let t = std::time::Instant::now();
        let c = seamster::compile(loaded, &mut |s| eprintln!("{s} {:?}", t.elapsed()));
        println!("== {name}");
        for d in &c.diagnostics {
            let mine = d.code.id.starts_with('J')
                || d.code.id.starts_with('P')
                || d.severity == seamster::diagnostic::Severity::Error;
            if !mine {
                continue;
            }
            println!(
                "    {} {} {} {}: {}",
                d.code.id,
                d.code.name,
                d.severity.word(),
                d.span.map(|s| c.sources.at(s)).unwrap_or_default(),
                d.message
            );
            for o in &d.notes {
                println!("        note: {}", o);
            }
            if let Some(h) = &d.help {
                println!("        help: {h}");
            }
        }
        for w in &c.findings.waived {
            println!("   waived {}", w.diagnostic.message);
        }
        for i in &c.findings.instructions {
            let r = seamster::rule::find(i.rule).unwrap();
            if r.code.id.starts_with('J') || r.code.id.starts_with('P') {
                println!("    > {:?} {} {}: {} [{}]", i.about, i.rule, i.topic, i.text, i.how);
            }
        }
    }
}
