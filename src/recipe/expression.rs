//! Small sums in recipes: `0.5 + 0.2 * objects * seconds`.
//!
//! In: text with numbers, names, `+ - * / ( )`, `min(…)` and `max(…)`. Out: an
//! [`Expression`] that gives a finite number, or says why it does not. Length
//! and nesting are limited, so no text can exhaust the stack.

use serde::de::{Deserialize, Deserializer, Error, Visitor};
use std::collections::BTreeMap;
use std::fmt;

/// Longest text of an expression, in characters.
const LONGEST: usize = 400;
/// Deepest nesting of parentheses, calls and signs.
const DEEPEST: usize = 32;

/// What the names in an expression stand for.
pub type Values = BTreeMap<String, f64>;

/// A sum over names, as it was written.
#[derive(Debug, Clone, PartialEq)]
pub struct Expression {
    text: String,
    root: Term,
}

#[derive(Debug, Clone, PartialEq)]
enum Term {
    Number(f64),
    Name(String),
    Negative(Box<Term>),
    Sum(Box<Term>, Operator, Box<Term>),
    Least(Vec<Term>),
    Most(Vec<Term>),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Operator {
    Plus,
    Minus,
    Times,
    Over,
}

impl Expression {
    /// Reads an expression. The error is one sentence in lower case.
    pub fn parse(text: &str) -> Result<Self, String> {
        if text.chars().count() > LONGEST {
            return Err(format!("the sum is longer than {LONGEST} characters"));
        }
        let tokens = tokens(text)?;
        let mut reader = Reader { tokens: &tokens, at: 0 };
        let root = reader.sum(0)?;
        match reader.peek() {
            None => Ok(Self { text: text.split_whitespace().collect::<Vec<_>>().join(" "), root }),
            Some(token) => Err(format!("'{token}' is not expected in the sum '{}'", text.trim())),
        }
    }

    /// As it was written, with single spaces.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Every name in it, sorted, each once.
    pub fn names(&self) -> Vec<&str> {
        let mut names = Vec::new();
        collect(&self.root, &mut names);
        names.sort_unstable();
        names.dedup();
        names
    }

    /// Its value; finite. The error is one sentence in lower case.
    pub fn value(&self, values: &Values) -> Result<f64, String> {
        let value = value(&self.root, values).map_err(|why| format!("'{}' {why}", self.text))?;
        if value.is_finite() { Ok(value) } else { Err(format!("'{}' gives no finite number", self.text)) }
    }
}

fn collect<'a>(term: &'a Term, names: &mut Vec<&'a str>) {
    match term {
        Term::Number(_) => {}
        Term::Name(name) => names.push(name),
        Term::Negative(inner) => collect(inner, names),
        Term::Sum(left, _, right) => {
            collect(left, names);
            collect(right, names);
        }
        Term::Least(terms) | Term::Most(terms) => {
            terms.iter().for_each(|term| collect(term, names));
        }
    }
}

fn value(term: &Term, values: &Values) -> Result<f64, String> {
    Ok(match term {
        Term::Number(number) => *number,
        Term::Name(name) => {
            *values.get(name).ok_or_else(|| format!("uses '{name}', which is not known here"))?
        }
        Term::Negative(inner) => -value(inner, values)?,
        Term::Sum(left, operator, right) => {
            let (left, right) = (value(left, values)?, value(right, values)?);
            match operator {
                Operator::Plus => left + right,
                Operator::Minus => left - right,
                Operator::Times => left * right,
                Operator::Over if right == 0.0 => return Err("divides by zero here".into()),
                Operator::Over => left / right,
            }
        }
        Term::Least(terms) => fold(terms, values, f64::min)?,
        Term::Most(terms) => fold(terms, values, f64::max)?,
    })
}

fn fold(terms: &[Term], values: &Values, pick: fn(f64, f64) -> f64) -> Result<f64, String> {
    let mut best: Option<f64> = None;
    for term in terms {
        let next = value(term, values)?;
        best = Some(best.map_or(next, |best| pick(best, next)));
    }
    best.ok_or_else(|| "compares nothing".into())
}

#[derive(Debug, Clone, PartialEq)]
enum Token {
    Number(f64),
    Word(String),
    Sign(char),
}

impl fmt::Display for Token {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Token::Number(number) => write!(f, "{number}"),
            Token::Word(word) => f.write_str(word),
            Token::Sign(sign) => write!(f, "{sign}"),
        }
    }
}

fn tokens(text: &str) -> Result<Vec<Token>, String> {
    let mut tokens = Vec::new();
    let mut rest = text.chars().peekable();
    while let Some(&next) = rest.peek() {
        let mut take = |belongs: fn(char) -> bool| {
            let mut word = String::new();
            while let Some(letter) = rest.next_if(|&letter| belongs(letter)) {
                word.push(letter);
            }
            word
        };
        if next.is_whitespace() {
            take(char::is_whitespace);
        } else if next.is_ascii_digit() || next == '.' {
            let word = take(|letter| letter.is_ascii_digit() || letter == '.');
            let number = word.parse::<f64>().ok().filter(|number| number.is_finite());
            tokens.push(Token::Number(number.ok_or_else(|| format!("'{word}' is not a number"))?));
        } else if next.is_ascii_lowercase() {
            tokens.push(Token::Word(take(|letter| {
                letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '_'
            })));
        } else if "+-*/(),".contains(next) {
            tokens.push(Token::Sign(next));
            rest.next();
        } else {
            return Err(format!("'{next}' has no meaning in a sum"));
        }
    }
    Ok(tokens)
}

struct Reader<'a> {
    tokens: &'a [Token],
    at: usize,
}

impl Reader<'_> {
    fn peek(&self) -> Option<&Token> {
        self.tokens.get(self.at)
    }

    fn next(&mut self) -> Option<Token> {
        let token = self.tokens.get(self.at).cloned();
        self.at += 1;
        token
    }

    fn sign(&mut self, signs: &[char]) -> Option<char> {
        match self.peek() {
            Some(&Token::Sign(sign)) if signs.contains(&sign) => {
                self.at += 1;
                Some(sign)
            }
            _ => None,
        }
    }

    fn sum(&mut self, depth: usize) -> Result<Term, String> {
        let mut left = self.product(depth)?;
        while let Some(sign) = self.sign(&['+', '-']) {
            let operator = if sign == '+' { Operator::Plus } else { Operator::Minus };
            left = Term::Sum(Box::new(left), operator, Box::new(self.product(depth)?));
        }
        Ok(left)
    }

    fn product(&mut self, depth: usize) -> Result<Term, String> {
        let mut left = self.factor(depth)?;
        while let Some(sign) = self.sign(&['*', '/']) {
            let operator = if sign == '*' { Operator::Times } else { Operator::Over };
            left = Term::Sum(Box::new(left), operator, Box::new(self.factor(depth)?));
        }
        Ok(left)
    }

    fn factor(&mut self, depth: usize) -> Result<Term, String> {
        if depth > DEEPEST {
            return Err(format!("the sum is nested more than {DEEPEST} deep"));
        }
        match self.next() {
            Some(Token::Number(number)) => Ok(Term::Number(number)),
            Some(Token::Sign('-')) => Ok(Term::Negative(Box::new(self.factor(depth + 1)?))),
            Some(Token::Sign('(')) => {
                let inner = self.sum(depth + 1)?;
                self.close()?;
                Ok(inner)
            }
            Some(Token::Word(word)) if self.sign(&['(']).is_some() => self.call(&word, depth + 1),
            Some(Token::Word(word)) => Ok(Term::Name(word)),
            Some(token) => Err(format!("a number or a name is expected before '{token}'")),
            None => Err("the sum ends where a number or a name is expected".into()),
        }
    }

    fn call(&mut self, word: &str, depth: usize) -> Result<Term, String> {
        let mut terms = vec![self.sum(depth)?];
        while self.sign(&[',']).is_some() {
            terms.push(self.sum(depth)?);
        }
        self.close()?;
        match word {
            "min" => Ok(Term::Least(terms)),
            "max" => Ok(Term::Most(terms)),
            other => Err(format!("there is no function '{other}'; a sum knows 'min' and 'max'")),
        }
    }

    fn close(&mut self) -> Result<(), String> {
        self.sign(&[')']).map(|_| ()).ok_or_else(|| "a ')' is missing in the sum".into())
    }
}

impl<'de> Deserialize<'de> for Expression {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Sum;
        impl Visitor<'_> for Sum {
            type Value = Expression;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a number or a sum such as '0.5 + 0.2 * seconds'")
            }
            fn visit_str<E: Error>(self, text: &str) -> Result<Expression, E> {
                Expression::parse(text).map_err(E::custom)
            }
            fn visit_u64<E: Error>(self, number: u64) -> Result<Expression, E> {
                self.visit_str(&number.to_string())
            }
            fn visit_i64<E: Error>(self, number: i64) -> Result<Expression, E> {
                self.visit_str(&number.to_string())
            }
            fn visit_f64<E: Error>(self, number: f64) -> Result<Expression, E> {
                self.visit_str(&number.to_string())
            }
        }
        deserializer.deserialize_any(Sum)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn sum(text: &str, values: &[(&str, f64)]) -> Result<f64, String> {
        let values = values.iter().map(|(name, value)| ((*name).to_owned(), *value)).collect();
        Expression::parse(text)?.value(&values)
    }

    #[test]
    fn sums_follow_the_usual_order_of_operations() {
        assert_eq!(sum("2 + 3 * 4 - 6 / 2", &[]), Ok(11.0));
        assert_eq!(sum("(2 + 3) * -4", &[]), Ok(-20.0));
        assert_eq!(sum("10 - 4 - 3", &[]), Ok(3.0));
        assert_eq!(sum("24 / 4 / 2", &[]), Ok(3.0));
        assert_eq!(sum("max(1, min(objects, 3), 2) * 2", &[("objects", 9.0)]), Ok(6.0));
    }

    #[test]
    fn what_has_no_value_says_so() {
        assert_eq!(
            sum("1 / (seconds - 2)", &[("seconds", 2.0)]).unwrap_err(),
            "'1 / (seconds - 2)' divides by zero here"
        );
        assert!(sum("secnds", &[("seconds", 2.0)]).unwrap_err().contains("'secnds', which is not known"));
        let large = "9".repeat(120);
        assert!(
            sum(&format!("{large} * {large} * {large}"), &[])
                .unwrap_err()
                .ends_with("gives no finite number")
        );
    }

    #[test]
    fn malformed_sums_are_refused() {
        for text in ["", "1 +", "1 2", "(1", "1)", "cos(1)", "1..2", "a ^ b", "min()", ",", "Seconds"] {
            assert!(Expression::parse(text).is_err(), "{text}");
        }
        assert!(Expression::parse(&"(".repeat(399)).unwrap_err().contains("nested"));
        assert!(Expression::parse(&"-".repeat(399)).unwrap_err().contains("nested"));
        assert!(Expression::parse(&"1+".repeat(300)).unwrap_err().contains("longer"));
    }

    proptest! {
        #[test]
        fn no_text_panics(text in "\\PC{0,60}") {
            let _ = Expression::parse(&text);
        }

        #[test]
        fn what_parses_has_a_finite_value_or_a_reason(text in "[-+*/()., 0-9a-cminax]{0,60}") {
            if let Ok(expression) = Expression::parse(&text) {
                let values = expression.names().into_iter().map(|name| (name.to_owned(), 2.0)).collect();
                if let Ok(value) = expression.value(&values) {
                    prop_assert!(value.is_finite());
                }
                prop_assert_eq!(Expression::parse(expression.text()), Ok(expression.clone()));
            }
        }
    }
}
