//! JSON as text that people and version control can read.

use serde_json::Value;

/// A value, indented by two spaces, ending in a line end. A list of values that
/// hold no others stands on one line: most are short, and some are thousands.
pub(super) fn text(value: &Value) -> String {
    let mut out = String::new();
    put(&mut out, value, 0);
    out.push('\n');
    out
}

fn holds(value: &Value) -> bool {
    value.is_object() || value.is_array()
}

fn put(out: &mut String, value: &Value, depth: usize) {
    match value {
        Value::Object(object) if !object.is_empty() => {
            out.push('{');
            for (at, (key, value)) in object.iter().enumerate() {
                next(out, at, depth + 1);
                out.push_str(&Value::String(key.clone()).to_string());
                out.push_str(": ");
                put(out, value, depth + 1);
            }
            end(out, depth, '}');
        }
        Value::Array(items) if items.iter().any(holds) => {
            out.push('[');
            for (at, item) in items.iter().enumerate() {
                next(out, at, depth + 1);
                put(out, item, depth + 1);
            }
            end(out, depth, ']');
        }
        Value::Array(items) => {
            let items: Vec<String> = items.iter().map(Value::to_string).collect();
            out.push_str(&format!("[{}]", items.join(", ")));
        }
        plain => out.push_str(&plain.to_string()),
    }
}

fn next(out: &mut String, at: usize, depth: usize) {
    out.push_str(if at == 0 { "\n" } else { ",\n" });
    out.push_str(&"  ".repeat(depth));
}

fn end(out: &mut String, depth: usize, bracket: char) {
    out.push('\n');
    out.push_str(&"  ".repeat(depth));
    out.push(bracket);
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn a_layout_is_read_back_as_it_was() {
        let value = json!({
            "a": [1, "b\"\n", null, true], "c": [], "d": {}, "e": [[1, 2], {"f": [{}]}, []], "é": -1.5
        });
        let written = text(&value);
        assert_eq!(serde_json::from_str::<Value>(&written).unwrap(), value);
        assert!(
            written.starts_with("{\n  \"a\": [1, \"b\\\"\\n\", null, true],\n  \"c\": [],\n  \"d\": {},\n"),
            "{written}"
        );
    }
}
