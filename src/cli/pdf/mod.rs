//! PDFs of the pages, printed by a browser that the machine has.
//!
//! In: the pages to print. Out: one PDF each, as bytes in memory, or trouble
//! with a code that `seamster explain pdf` explains. One browser prints them
//! all. It runs no script of a page and makes no request; what it writes about
//! the time of printing is taken out, so that one browser gives the same bytes.

mod base64;
mod find;
mod session;

use super::Trouble;
use super::console::shown;
use clap::ValueEnum;
use seamster::packet::Document;
use seamster::packet::paper::Printed;
use serde_json::{Value, json};
use session::Session;
use std::path::PathBuf;
use std::time::Duration;

/// The page that explains PDFs and what can go wrong with them.
pub(super) const PAGE: &str = include_str!("pdf.md");

const NO_BROWSER: &str = "PDF1";
const BROWSER_FAILED: &str = "PDF2";
const BROWSER_HANGS: &str = "PDF3";

/// Paper to print on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Paper {
    /// 210 × 297 mm (ISO 216).
    A4,
    /// 8.5 × 11 in (ANSI/ASME Y14.1 size A).
    Letter,
}

impl Paper {
    /// Width and height in inches.
    fn inches(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0 / 25.4, 297.0 / 25.4),
            Self::Letter => (8.5, 11.0),
        }
    }
}

/// Choices about PDFs.
#[derive(Debug, clap::Args)]
#[group(skip)]
pub(super) struct Args {
    /// Print PDFs too: one of each document, and `packet.pdf` with all of them
    #[arg(long)]
    pub(super) pdf: bool,
    /// Paper of the PDFs
    #[arg(long, value_enum, default_value = "a4", requires = "pdf")]
    paper: Paper,
    /// The browser of the Chromium family that prints; else `SEAMSTER_BROWSER` names it, or it is looked for
    #[arg(long, value_name = "PROGRAM", requires = "pdf")]
    browser: Option<PathBuf>,
    /// Seconds that the browser may take for one page
    #[arg(long, value_name = "N", default_value_t = 60, requires = "pdf",
          value_parser = clap::value_parser!(u64).range(1..=3600))]
    pdf_seconds: u64,
}

fn trouble(code: &str, why: &str) -> Trouble {
    Trouble::new(format!("[{code}] the packet has no PDFs: {why}"))
        .help("`seamster explain pdf` says what is needed; the pages print as well from any browser")
}

/// Prints every page.
///
/// # Errors
/// When there is no browser, or it fails or hangs. Nothing has then been printed.
pub(super) fn print(args: &Args, pages: &[Printed]) -> Result<Vec<Document>, Trouble> {
    if !cfg!(unix) {
        return Err(trouble(NO_BROWSER, "a browser can be told to print them on Linux and macOS only"));
    }
    let browser = find::browser(args.browser.as_deref())?;
    let limit = Duration::from_secs(args.pdf_seconds);
    let mut printer = match Printer::start(&browser, true, limit) {
        // Without a sandbox of the system, as in most containers, a browser ends at
        // once. The pages are our own and run no script.
        Err(trouble) if trouble.message.contains("sandbox") => Printer::start(&browser, false, limit)?,
        started => started?,
    };
    let mut documents = Vec::new();
    for page in pages {
        let bytes = printer.print(page, args.paper).map_err(|why| Trouble {
            message: format!("{} (at '{}', printed by '{}')", why.message, page.path, shown(&browser)),
            ..why
        })?;
        documents.push(Document { path: page.path.clone(), bytes });
    }
    Ok(documents)
}

/// A browser with one empty page.
struct Printer {
    session: Session,
    /// The protocol's names of the page and of its frame.
    page: String,
    frame: String,
}

impl Printer {
    fn start(browser: &std::path::Path, sandbox: bool, limit: Duration) -> Result<Self, Trouble> {
        let mut session = Session::start(browser, sandbox, limit)?;
        let target = session.call("Target.createTarget", json!({ "url": "about:blank" }), None)?;
        let attach = json!({ "targetId": word(&target, "/targetId")?, "flatten": true });
        let page = word(&session.call("Target.attachToTarget", attach, None)?, "/sessionId")?;
        let off = json!({ "value": true });
        session.call("Emulation.setScriptExecutionDisabled", off, Some(&page))?;
        let tree = session.call("Page.getFrameTree", json!({}), Some(&page))?;
        let frame = word(&tree, "/frameTree/frame/id")?;
        Ok(Self { session, page, frame })
    }

    fn print(&mut self, page: &Printed, paper: Paper) -> Result<Vec<u8>, Trouble> {
        let text = json!({ "frameId": self.frame, "html": page.html });
        self.session.call("Page.setDocumentContent", text, Some(&self.page))?;
        let (width, height) = paper.inches();
        let how = json!({
            "paperWidth": width, "paperHeight": height, "preferCSSPageSize": true, "printBackground": true,
            "generateTaggedPDF": true, "generateDocumentOutline": true,
        });
        let printed = self.session.call("Page.printToPDF", how, Some(&self.page))?;
        let bytes = printed.pointer("/data").and_then(Value::as_str).and_then(base64::decode);
        match bytes {
            Some(mut bytes) if bytes.starts_with(b"%PDF-") => {
                forget_the_time(&mut bytes);
                Ok(bytes)
            }
            _ => Err(trouble(BROWSER_FAILED, "the browser gave something that is no PDF")),
        }
    }
}

/// A word of an answer that must be there.
fn word(answer: &Value, at: &str) -> Result<String, Trouble> {
    let word = answer.pointer(at).and_then(Value::as_str).map(str::to_owned);
    word.ok_or_else(|| trouble(BROWSER_FAILED, "the browser answers in a way that is not understood"))
}

/// Blanks when the PDF was made, which PDF (ISO 32000-1, table 317) does not ask
/// for. Positions of its objects stay.
fn forget_the_time(bytes: &mut [u8]) {
    for key in [b"/CreationDate (".as_slice(), b"/ModDate ("] {
        let Some(from) = bytes.windows(key.len()).rposition(|window| window == key) else { continue };
        let Some(rest) = bytes.get_mut(from..) else { continue };
        // A date has no bracket inside.
        if let Some(length) = rest.iter().position(|byte| *byte == b')').filter(|length| *length < 60) {
            rest.iter_mut().take(length + 1).for_each(|byte| *byte = b' ');
        }
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_time_of_printing_is_blank_and_nothing_moves() {
        let mut bytes =
            b"<</Creator (x)\n/CreationDate (D:20270514063000+00'00')\n/ModDate (D:2027)>>".to_vec();
        let length = bytes.len();
        super::forget_the_time(&mut bytes);
        assert_eq!(bytes.len(), length);
        let text = String::from_utf8(bytes).unwrap();
        assert!(text.starts_with("<</Creator (x)\n  ") && text.ends_with("  >>") && !text.contains("2027"));
    }
}
