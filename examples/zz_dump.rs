#![allow(warnings)]
use seamster::*;
struct R(std::path::PathBuf);
impl Reader for R {
    fn read(&mut self, p: &str) -> Result<Vec<u8>, String> {
        std::fs::read(self.0.join(p)).map_err(|e| format!("{p}: {e}"))
    }
    fn recipes(&mut self) -> Result<Vec<String>, String> {
        let mut v: Vec<String> = std::fs::read_dir(self.0.join("recipes"))
            .map(|d| {
                d.filter_map(|e| e.ok())
                    .map(|e| format!("recipes/{}", e.file_name().to_string_lossy()))
                    .collect()
            })
            .unwrap_or_default();
        v.sort();
        Ok(v)
    }
}
fn main() {
    let file = std::path::PathBuf::from(std::env::args().nth(1).unwrap());
    let out = std::path::PathBuf::from(std::env::args().nth(2).unwrap());
    let mut r = R(file.parent().unwrap().to_owned());
    let t = std::time::Instant::now();
    let loaded = load(&mut r, file.file_name().unwrap().to_str().unwrap()).unwrap();
    let c = compile(loaded, &mut |s| eprintln!("{s} {:?}", t.elapsed()));
    for d in &c.diagnostics {
        println!(
            "{} {} {} {} | {:?}",
            d.severity.word(),
            d.code.id,
            d.span.map(|s| c.sources.at(s)).unwrap_or_default(),
            d.message,
            d.help
        );
    }
    let docs = c.documents(c.has_errors(), &[]).unwrap();
    eprintln!(
        "packet {:?} {} docs {} bytes",
        t.elapsed(),
        docs.len(),
        docs.iter().map(|d| d.bytes.len()).sum::<usize>()
    );
    for d in docs {
        let p = out.join(&d.path);
        std::fs::create_dir_all(p.parent().unwrap()).unwrap();
        std::fs::write(p, d.bytes).unwrap();
    }
}
