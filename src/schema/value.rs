//! One value alone, outside any file: what is typed behind a question.

use super::take::Cursor;
use super::{Arg, Part};
use crate::diagnostic::{Diagnostic, codes};
use crate::source::{Sources, Span};
use crate::syntax;

/// Reads a text as the one value that a part asks for, by the rules of the
/// language: the same units, the same limits, the same words when it is wrong.
///
/// # Errors
/// What is wrong with it; places in the finding belong to no file.
pub fn value(text: &str, part: &Part) -> Result<Arg, Box<Diagnostic>> {
    let mut sources = Sources::default();
    let file = sources.add("value", format!("value {text}"));
    let mut wrong = Vec::new();
    let tree = syntax::parse(&sources, file, &mut wrong);
    if let Some(first) = wrong.into_iter().next() {
        return Err(Box::new(first));
    }
    let mut statements = tree.statements();
    let whole = Span { file, start: 0, end: text.len() as u32 + 6 };
    let more = || Box::new(Diagnostic::new(codes::VALUE, whole, "one value is expected, and nothing more"));
    let (Some(statement), None) = (statements.next(), statements.next()) else { return Err(more()) };
    let mut cursor = Cursor::new(&statement.values, statement.word.span);
    let taken = cursor.take_all(std::slice::from_ref(part))?.into_iter().next();
    match (taken, cursor.peek()) {
        (Some(arg), None) if statement.block.is_none() && statement.word.value == "value" => Ok(arg),
        _ => Err(more()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::unit::Dimension;

    const ANGLE: Part = Part::Quantity(Dimension::Angle, 1.0, 360.0);

    #[test]
    fn a_value_is_read_as_in_a_file() {
        for text in ["118deg", "118 deg", " 118.0 deg "] {
            let Ok(Arg::Number(number)) = value(text, &ANGLE) else { panic!("{text}") };
            assert_eq!(number.value.value, 118.0);
        }
    }

    #[test]
    fn what_is_wrong_is_said_as_in_a_file() {
        let message = |text: &str| value(text, &ANGLE).unwrap_err().message;
        assert_eq!(message("400deg"), "expected an angle from 1 deg to 360 deg");
        assert_eq!(message("118"), "expected an angle with its unit");
        assert_eq!(message("118 dgr"), "no unit 'dgr'");
        assert_eq!(message("2 m"), "expected an angle such as -35 deg");
        for text in ["", "118deg 2deg", "118deg\n3", "118deg { }", "-x 118deg", "}", "\"", "nan deg"] {
            assert!(value(text, &ANGLE).is_err(), "{text}");
        }
    }
}
